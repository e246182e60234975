import { describe, expect, it } from 'vitest'
import { blindSpots, unwatchedTanks } from '../../daemon/farm/blind-spots.js'
import { planOf } from './plan-of.js'

const farm = (more: string): string => `
farm: { name: Larkfield }
places:
  - id: tank-1
    kind: tank
    fish: { species: nile_tilapia, count: 40, mean_mass: 200 g }
${more}`

/** `Blower A stops: late` */
const seen = (yaml: string): readonly string[] =>
  blindSpots(planOf(yaml)).map(({ failure, seen: how }) => `${failure}: ${how}`)

const blower = (more: string): string =>
  `equipment: [{ id: blower-a, kind: blower, serves: [tank-1]${more} }]`
const pressure = ', evidence: { pressure: blower-a/air_pressure }'
const band = `${pressure}, normal: { pressure: [12 kPa, 20 kPa] }`

describe('what could fail unseen', () => {
  it('without probes nothing is seen, and each failure says what would help', () => {
    const spots = blindSpots(planOf(farm(blower(''))))
    expect(spots.map(({ failure, seen: how }) => `${failure}: ${how}`)).toEqual([
      'oxygen falls in tank 1: not seen',
      'too warm or too cold in tank 1: not seen',
      'water is lost from tank 1: not seen',
      'Blower A stops: not seen',
      'mains is lost (no supply declared): not seen',
    ])
    expect(spots.every(({ wouldHelp, by }) => wouldHelp !== null && by === null)).toBe(true)
  })

  it('the oxygen of its tank shows a stopped blower late', () => {
    const yaml = farm(`${blower('')}\nprobes: [{ signal: tank-1/dissolved_oxygen, topic: a }]`)
    expect(seen(yaml)).toContain('oxygen falls in tank 1: at once')
    expect(seen(yaml)).toContain('Blower A stops: late')
  })

  it('evidence counts when a probe publishes it and its usual band is known', () => {
    const probe = '\nprobes: [{ signal: blower-a/air_pressure, topic: a }]'
    expect(seen(farm(blower(band) + probe))).toContain('Blower A stops: at once')
    expect(seen(farm(blower(pressure) + probe))).toContain('Blower A stops: not seen')
    expect(seen(farm(blower(band)))).toContain('Blower A stops: not seen')
  })

  it('a pattern is a promise, no proof', () => {
    const yaml = farm(`${blower(band)}\nprobes: [{ topic: "farm/{place}/{quantity}" }]`)
    expect(seen(yaml)).toContain('Blower A stops: if published')
    expect(seen(yaml)).toContain('oxygen falls in tank 1: if published')
  })

  it('a supply with its own sensor is seen at once, by its machines late', () => {
    const supply = (evidence: string): string =>
      farm(`equipment:
  - { id: mains, kind: mains_supply${evidence} }
  - { id: pump, kind: pump, evidence: { current: pump/current } }
probes:
  - { signal: mains/present, topic: a }
  - { signal: pump/current, topic: b }`)
    expect(seen(supply(', evidence: { present: mains/present }'))).toContain('Mains is lost: at once')
    expect(seen(supply(''))).toContain('Mains is lost: late')
  })

  it('a node is seen as soon as its fastest probe counts as silent', () => {
    const node = (probe: string): string =>
      farm(`probes: [{ signal: tank-1/ph, topic: a, via: node-7, ${probe} }]`)
    expect(seen(node('every: 60 s'))).toContain('node node-7 is lost: at once')
    expect(seen(node('every: 10 min'))).toContain('node node-7 is lost: late')
    expect(seen(node('reports: on_change'))).toContain('node node-7 is lost: not seen')
  })

  it('a stocked tank without any way to see its oxygen cannot be watched', () => {
    const unwatched = (yaml: string) => unwatchedTanks(planOf(yaml)).map(({ id }) => id)
    expect(unwatched(farm(''))).toEqual(['tank-1'])
    expect(unwatched(farm('probes: [{ signal: tank-1/dissolved_oxygen, topic: a }]'))).toEqual([])
    expect(unwatched(farm('probes: [{ topic: "a/{place}/{quantity}" }]'))).toEqual([])
  })
})
