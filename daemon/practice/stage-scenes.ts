import { after, minutes, type EpochMs } from '../units/time.js'
import type { Mishap } from './mishaps.js'
import type { Direction } from './stage.js'

/** A mishap with its words. It is over within half an hour. */
export interface Scenery {
  readonly mishaps: readonly Mishap[]
  readonly begins: Direction
  readonly ends: Direction
}

interface Words {
  readonly begins: string
  readonly tryThis: string
  readonly ends: string
}

function scene(mishap: Mishap, words: Words): Scenery {
  const over = after(mishap.at, mishap.for)
  return {
    mishaps: [mishap],
    begins: { at: mishap.at, says: words.begins, tryThis: words.tryThis },
    ends: { at: over, says: words.ends, tryThis: 'See what is still open: bellwater alarms' },
  }
}

const lineOpened = (at: EpochMs): Scenery =>
  scene(
    { kind: 'air-line-open', blower: 'blower-b', size: 1, at, for: minutes(9) },
    {
      begins: 'A hose has come off the air line of blower B. The blower still runs, but tank 3 gets no air.',
      tryThis: 'See how Bellwater tells this from a stopped blower: bellwater alarms',
      ends: 'The hose is back on; tank 3 has air again.',
    },
  )

const probeUnplugged = (at: EpochMs): Scenery =>
  scene(
    { kind: 'probe-unplugged', signal: 'tank-2/dissolved_oxygen', shows: 'garbage', at, for: minutes(12) },
    {
      begins: 'Somebody has pulled the plug of the oxygen probe in tank 2. What it says now is nonsense.',
      tryThis:
        'Shelve it as you would while cleaning: bellwater shelve bad-measurement@tank-2/dissolved_oxygen --for 30m --why cleaning',
      ends: 'The oxygen probe of tank 2 is plugged in again.',
    },
  )

const pumpStopped = (at: EpochMs): Scenery =>
  scene(
    { kind: 'pump-stop', at, for: minutes(15) },
    {
      begins:
        'The main pump has stopped. Tanks drain to their rims, the sump rises, and the biofilter stands still.',
      tryThis: 'Look at flow, sump level and biofilter oxygen on the page.',
      ends: 'The main pump runs again.',
    },
  )

const blowerStopped = (at: EpochMs): Scenery =>
  scene(
    { kind: 'blower-stop', blower: 'blower-a', at, for: minutes(10) },
    {
      begins: 'Blower A has stopped, although the mains is there. Tanks 1 and 2 get no air.',
      tryThis: 'Take the call: bellwater ack equipment-fault@blower-a',
      ends: 'Blower A runs again.',
    },
  )

const gatewayLost = (at: EpochMs): Scenery =>
  scene(
    { kind: 'gateway-lost', gateway: 'wet-side', keeps: true, at, for: minutes(8) },
    {
      begins: 'The radio node of the wet side has lost its link. Nothing is heard from tanks and sump.',
      tryThis: 'Count the calls: one fault, not one for each probe.',
      ends: 'The radio node is back and hands over what it had kept.',
    },
  )

const heaterFailed = (at: EpochMs): Scenery =>
  scene(
    { kind: 'heater-failure', at, for: minutes(25) },
    {
      begins: 'The heater has failed. How much that matters depends on the night outside.',
      tryThis: 'Look at the house temperature and its margin on the page.',
      ends: 'The heater works again.',
    },
  )

export const laterScenes: readonly [(at: EpochMs) => Scenery, ...((at: EpochMs) => Scenery)[]] = [
  lineOpened,
  probeUnplugged,
  pumpStopped,
  blowerStopped,
  gatewayLost,
  heaterFailed,
]
