import { milliseconds, minutes, seconds, type Milliseconds } from '../units/time.js'
import { humidityIn } from './house.js'
import { blowerIds, depthOf, tankIds, type BlowerId, type WaterId } from './larkfield.js'
import {
  airPressure,
  batteryCharge,
  batteryRuntime,
  blowerCurrent,
  pumpCurrent,
  pumpFlow,
} from './machines.js'
import type { ProbeSpec } from './probes.js'
import type { Scene } from './scene.js'
import { oxygenOf, phOf, temperatureOf } from './water.js'
import { saturationPressure } from './weather.js'

const placeAndQuantity = '{place}/{quantity}'

type Character = Pick<ProbeSpec, 'lag' | 'noise' | 'decimals'> & Partial<ProbeSpec>

/** What probes at this price are like unless said otherwise (common practice): one message in 500 lost, clock near. */
function probe(
  place: string,
  quantity: string,
  every: Milliseconds,
  character: Character & Pick<ProbeSpec, 'senses'>,
): ProbeSpec {
  return {
    signal: `${place}/${quantity}`,
    topic: placeAndQuantity,
    form: { kind: 'json' },
    gateway: 'wet-side',
    every,
    onChange: false,
    retain: false,
    driftPerDay: 0,
    dropouts: 0.002,
    clockAhead: milliseconds(0),
    lowest: 0,
    ...character,
  }
}

/** Galvanic membranes need 30 to 60 s for 63 % (common practice; makers state 60 to 120 s for 90 %). */
const oxygenProbe = { lag: 40, noise: 0.02, decimals: 2, driftPerDay: -0.02 } as const
const temperatureProbe = { lag: 30, noise: 0.03, decimals: 2 } as const
const levelProbe = { lag: 10, noise: 0.15, decimals: 1 } as const
const phProbe = { lag: 20, noise: 0.008, decimals: 2, driftPerDay: 0.004 } as const

const water = (scene: Scene, id: WaterId) => scene.state.water[id]
const sumpDepth = (scene: Scene): number => depthOf('sump', scene.state.water.sump.volume)

const levelOf = (id: WaterId): ProbeSpec =>
  probe(id, 'water_level', seconds(30), {
    ...levelProbe,
    senses: (scene) => depthOf(id, water(scene, id).volume),
  })

const temperatureIn = (id: WaterId, rest: Partial<ProbeSpec> = {}): ProbeSpec =>
  probe(id, 'water_temperature', seconds(60), {
    ...temperatureProbe,
    ...rest,
    senses: (scene) => temperatureOf(water(scene, id)),
  })

const oxygenIn = (id: WaterId, clockAhead: number): ProbeSpec =>
  probe(id, 'dissolved_oxygen', seconds(15), {
    ...{ ...oxygenProbe, clockAhead: milliseconds(clockAhead) },
    senses: (scene) => oxygenOf(water(scene, id)),
  })

const phIn = (id: WaterId): ProbeSpec =>
  probe(id, 'ph', seconds(60), { ...phProbe, senses: (scene) => phOf(water(scene, id)) })

/** An ion-selective analyser that draws a sample every ten minutes. */
const ammoniaIn = (id: WaterId): ProbeSpec =>
  probe(id, 'total_ammonia_nitrogen', minutes(10), {
    ...{ lag: 120, noise: 0.03, decimals: 2, driftPerDay: 0.02 },
    senses: (scene) => water(scene, id).ammonia / water(scene, id).volume,
  })

const ofBlower = (id: BlowerId): readonly ProbeSpec[] => [
  probe(id, 'current', seconds(10), {
    ...{ gateway: 'plant-room', lag: 0, noise: 0.02, decimals: 2 },
    senses: ({ state, orders, at }) => blowerCurrent(state.machines, orders, id, at),
  }),
  probe(id, 'air_pressure', seconds(10), {
    ...{ gateway: 'plant-room', lag: 1, noise: 0.12, decimals: 1 },
    senses: ({ state, orders, at }) => airPressure(state.machines, orders, id, at),
  }),
]

const machineRoom: readonly ProbeSpec[] = [
  ...blowerIds.flatMap(ofBlower),
  probe('main-pump', 'current', seconds(10), {
    ...{ gateway: 'plant-room', lag: 0, noise: 0.02, decimals: 2 },
    senses: (scene) => pumpCurrent(scene.state.machines, scene.orders, sumpDepth(scene), scene.at),
  }),
  probe('sump', 'flow', seconds(10), {
    ...{ form: { kind: 'bare' }, lag: 2, noise: 0.8, decimals: 1 },
    senses: (scene) => pumpFlow(scene.state.machines, scene.orders, sumpDepth(scene), scene.at),
  }),
  probe('heater', 'power', seconds(30), {
    ...{ gateway: 'plant-room', lag: 0, noise: 15, decimals: 0 },
    senses: ({ state }) => state.heating.air + state.heating.water,
  }),
  probe('mains', 'present', seconds(30), {
    ...{ gateway: 'plant-room', lag: 0, noise: 0, decimals: 0, onChange: true, retain: true, dropouts: 0 },
    senses: ({ state }) => (state.machines.mains.runs ? 1 : 0),
  }),
  probe('battery', 'charge', seconds(30), {
    ...{ gateway: 'plant-room', lag: 0, noise: 0, decimals: 1, retain: true },
    senses: ({ state }) => batteryCharge(state.machines),
  }),
  probe('battery', 'runtime', seconds(30), {
    ...{ gateway: 'plant-room', lag: 0, noise: 0, decimals: 0, retain: true },
    senses: ({ state }) => batteryRuntime(state.machines),
  }),
]

const air: readonly ProbeSpec[] = [
  probe('house', 'air_temperature', seconds(60), {
    ...{ gateway: 'house', lag: 60, noise: 0.05, decimals: 1, lowest: -60 },
    senses: ({ state }) => state.house.temperature,
  }),
  probe('house', 'relative_humidity', seconds(60), {
    ...{ gateway: 'house', lag: 60, noise: 0.4, decimals: 1 },
    senses: ({ state }) => humidityIn(state.house),
  }),
  probe('outdoors', 'air_temperature', seconds(60), {
    ...{ gateway: 'house', lag: 120, noise: 0.05, decimals: 1, lowest: -60 },
    senses: ({ state }) => state.outdoors.temperature,
  }),
  probe('outdoors', 'relative_humidity', seconds(60), {
    ...{ gateway: 'house', lag: 120, noise: 0.5, decimals: 0 },
    senses: ({ state }) =>
      (100 * state.outdoors.vapourPressure) / saturationPressure(state.outdoors.temperature),
  }),
]

/** The temperature probe of tank 3 is a one-wire node that speaks SenML (RFC 8428) on a topic of its own. */
const all: readonly ProbeSpec[] = [
  ...tankIds.map((id, index) => oxygenIn(id, [-180, 40, 260][index] ?? 0)),
  temperatureIn('tank-1'),
  temperatureIn('tank-2'),
  temperatureIn('tank-3', {
    topic: 'node7',
    form: { kind: 'senml', name: 'urn:dev:ow:10e2073a01080063', unit: 'Cel' },
  }),
  ...tankIds.map(phIn),
  ...tankIds.map(ammoniaIn),
  ...tankIds.map(levelOf),
  temperatureIn('sump'),
  phIn('sump'),
  levelOf('sump'),
  oxygenIn('biofilter', 0),
  ...machineRoom,
  ...air,
]

/** Where Larkfield's probes publish unless told otherwise. */
export const larkfieldTopics = 'larkfield/{place}/{quantity}'

/**
 * All probes of Larkfield, publishing under `topics`, which ends in `{place}/{quantity}`. The SenML node takes `node7`
 * in that place.
 */
export const larkfieldProbes = (topics: string): readonly ProbeSpec[] =>
  all.map((spec) => {
    const [place = '', quantity = ''] = spec.signal.split('/')
    const last = spec.topic === placeAndQuantity ? `${place}/${quantity}` : spec.topic
    return { ...spec, topic: topics.replace(placeAndQuantity, last) }
  })
