import type { BuiltInId } from './built-in.js'

interface Texts {
  readonly cause: string
  readonly consequence: string
  readonly response: string
}

/**
 * Cause, consequence and response of the built-in alarms: what the person woken at three in the morning needs to know
 * (rationalisation record, ANSI/ISA-18.2). Responses follow Aqu@teach handbook table 9 where it has one: stop feeding,
 * more air, look at the fish; the rest is common practice.
 */
export const texts: Readonly<Record<BuiltInId, Texts>> = {
  'oxygen-low': {
    cause: 'Aeration lost or too little, water too warm, or too much feed.',
    consequence: 'Fish stop feeding and weaken.',
    response: 'Look at blowers and air stones. Stop feeding. Start the spare air pump.',
  },
  'oxygen-very-low': {
    cause: 'Aeration or circulation has failed.',
    consequence: 'Fish suffocate, in a dense tank within the hour.',
    response: 'Go there now. Start spare air or oxygen. Stop feeding.',
  },
  'oxygen-minutes-low': {
    cause: 'Oxygen falls faster than it is replaced.',
    consequence: 'The tank reaches its critical oxygen within the minutes given.',
    response: 'Go there now. Start spare air or oxygen.',
  },
  'temperature-low': {
    cause: 'Heater off or too weak, or a vent open in the cold.',
    consequence: 'Fish stop feeding, then die of cold.',
    response: 'Look at heater, vents and covers. Stop feeding.',
  },
  'temperature-high': {
    cause: 'Heater stuck on, sun, or vents closed.',
    consequence: 'Warm water holds less oxygen while fish need more.',
    response: 'Heater off, vents open, shade. More air. Stop feeding.',
  },
  'ph-low': {
    cause: 'Nitrification has used up the alkalinity.',
    consequence: 'The biofilter slows and ammonia rises.',
    response: 'Measure alkalinity. Add carbonate a little at a time.',
  },
  'ph-high': {
    cause: 'Too much base added, hard make-up water, or algae.',
    consequence: 'More of the ammonia turns poisonous.',
    response: 'Measure ammonia. Add nothing more for now. Stop feeding if ammonia is up.',
  },
  'ammonia-high': {
    cause: 'The biofilter does not keep up, or too much feed.',
    consequence: 'Gills are harmed; fish die over hours to days.',
    response: 'Stop feeding. More air. Change part of the water.',
  },
  'nitrite-high': {
    cause: 'The second step of nitrification lags behind.',
    consequence: 'Blood carries less oxygen; fish gasp in good water.',
    response: 'Stop feeding. More air. Consider chloride (salt), plants permitting.',
  },
  'level-low': {
    cause: 'A leak, a blocked return, or water lost to a bed.',
    consequence: 'The pump runs dry; fish lose their water.',
    response: 'Find where the water goes. Top up. Pump off if it would run dry.',
  },
  'level-high': {
    cause: 'A blocked outlet or too much make-up water.',
    consequence: 'Water and fish are lost over the rim.',
    response: 'Clear the outlet. Close the make-up water.',
  },
  'equipment-fault': {
    cause: 'See the verdict and its evidence.',
    consequence: 'What it serves goes without.',
    response: 'Look at the machine, its fuse and its plug.',
  },
  'mains-lost': {
    cause: 'Power cut, or a tripped breaker.',
    consequence: 'Blowers, pumps and heaters stand still.',
    response: 'Look at the breaker. Start the generator or spare air.',
  },
  'battery-low': {
    cause: 'On battery for long, or an old battery.',
    consequence: 'What it feeds stops when it is empty.',
    response: 'Bring back mains or the generator. Have the battery tested.',
  },
  'bad-measurement': {
    cause: 'Probe, cable, battery or radio has failed.',
    consequence: 'Nobody sees what happens there.',
    response: 'Look at the place by eye. Mend or exchange the probe.',
  },
  'node-lost': {
    cause: 'Radio node or gateway without power or out of reach.',
    consequence: 'None of its probes is seen.',
    response: 'Look at its places by eye. Power and restart the node.',
  },
  'heat-margin-low': {
    cause: 'Colder outside than the heater was made for, or a cover open.',
    consequence: 'The house cools although the heater runs.',
    response: 'Close vents and screens. Prepare spare heat.',
  },
  'own-trouble': {
    cause: 'A part of the watch itself does not work.',
    consequence: 'Part of the farm may go unwatched or uncalled.',
    response: 'Look at the page. Watch the tanks by eye until it is mended.',
  },
  'probe-clock': {
    cause: "The probe's clock runs ahead.",
    consequence: 'Its readings are taken at the time they arrive.',
    response: 'Set the clock of the probe or its gateway.',
  },
}
