import { oxygenSaturationPercent } from '../../daemon/chemistry/oxygen-saturation.js'
import { standardPressure } from '../../daemon/heat/atmosphere.js'
import {
  atmospheres,
  celsius,
  gramsPerKilogram,
  metres,
  milligramsPerLitre,
} from '../../daemon/units/brands.js'
import { farmFromText } from '../../daemon/cli/load-farm.js'
import type { FarmPlan } from '../../daemon/farm/plan.js'
import type { Reading } from '../../daemon/readings/reading.js'
import type { SignalName } from '../../daemon/readings/signal.js'
import { epochMs, milliseconds, seconds, after } from '../../daemon/units/time.js'

const text = `
farm: { name: Larkfield, time_zone: Europe/London, altitude: 80 m }
places:
  - { id: tank-1, kind: tank }
probes:
  - { signal: tank-1/dissolved_oxygen, topic: t/o, unit: mg/L, every: 30 s }
  - { signal: tank-1/water_temperature, topic: t/t, unit: Cel, every: 60 s }
  - { signal: tank-1/ph, topic: t/p, unit: "[pH]", every: 60 s }
people: [ { id: first-keeper, name: First keeper, reach: { text: "+44 7700 900101" } } ]
ladders: { night: { steps: [ { after: 0 min, call: first-keeper, by: [text] } ] } }
`

/** Oxygen, temperature and pH of one tank, without alarms. */
export const pastFarm = (): FarmPlan =>
  farmFromText({ text, file: 'past.yaml', env: {}, readFile: () => '' }).plan

export const oxygen = 'tank-1/dissolved_oxygen' as SignalName
export const temperature = 'tank-1/water_temperature' as SignalName
export const saturation = 'tank-1/oxygen_saturation' as SignalName

/** A good reading that came when it was measured. */
export const reading = (
  signal: SignalName,
  at: number,
  value: number,
  more: Partial<Reading> = {},
): Reading => ({
  ...{ signal, at: epochMs(at), received: epochMs(at), value, quality: 'good', reasons: [] },
  ...{ source: 'probe', historical: false },
  ...more,
})

/** One that came after so long and was stored without being judged (AL-17). */
export const late = (signal: SignalName, at: number, value: number, receivedAfter = seconds(3600)): Reading =>
  reading(signal, at, value, { received: after(epochMs(at), milliseconds(receivedAfter)), historical: true })

/** Percent at 26 degC, straight from the equation, in fresh water at the farm's 80 m. */
export const saturationOf = (mgL: number): number =>
  oxygenSaturationPercent(milligramsPerLitre(mgL), {
    temperature: celsius(26),
    salinity: gramsPerKilogram(0),
    pressure: atmospheres((standardPressure(metres(80)) ?? 0) / 101_325),
  }) ?? Number.NaN
