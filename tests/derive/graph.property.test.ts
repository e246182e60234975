import fc from 'fast-check'
import { expect, it } from 'vitest'
import { compileGraph } from '../../daemon/derive/compile-graph.js'
import { derivations } from '../../daemon/derive/graph.js'
import { recompute, type Newest } from '../../daemon/derive/recompute.js'
import { equations } from '../../daemon/calculations/equations.js'
import { qualities, worse, type Quality } from '../../daemon/readings/reading.js'
import type { SignalName } from '../../daemon/readings/signal.js'
import { quantityNamed } from '../../daemon/units/quantities.js'
import { after, epochMs, milliseconds } from '../../daemon/units/time.js'
import { larkfield, probe } from './larkfield-plan.js'

const plan = larkfield(
  probe('tank-1/dissolved_oxygen', 'mg/L'),
  probe('tank-1/water_temperature', 'Cel'),
  probe('tank-1/conductivity', 'uS/cm'),
  probe('tank-1/ph', '[pH]'),
  probe('house/air_temperature', 'Cel'),
  probe('house/relative_humidity', '%'),
  probe('outdoors/barometric_pressure', 'kPa'),
)
const graph = compileGraph(plan)
const signals = [...graph.dependents.keys()]
const now = epochMs(1_800_000_000_000)

const newest = fc.record({
  value: fc.double({ min: -50, max: 500, noNaN: true }),
  quality: fc.constantFrom<Quality>(...qualities),
  at: fc.integer({ min: -60_000, max: 900_000_000 }).map((age) => after(now, milliseconds(-age))),
})
const known = fc.array(fc.option(newest), { minLength: signals.length, maxLength: signals.length })
const reader =
  (values: readonly (Newest | null)[]) =>
  (signal: SignalName): Newest | null =>
    values[signals.indexOf(signal)] ?? null

it('whatever arrives, a computed value is a number of at most the quality of its inputs, or none with the reason', () => {
  fc.assert(
    fc.property(fc.constantFrom(...signals), known, (changed, values) => {
      for (const one of recompute(graph, changed, now, reader(values))) {
        const worst = one.inputs.map(({ quality }) => quality).reduce(worse, 'good')
        expect(worse(one.quality, worst)).toBe(one.quality)
        if (one.value === null) expect(one.reasons.length > 0).toBe(true)
        else expect([Number.isFinite(one.value), one.quality === 'bad']).toEqual([true, false])
        if (one.quality === 'uncertain') expect(one.reasons).not.toEqual([])
        if (one.until !== null) expect(one.until).toBeGreaterThanOrEqual(now)
      }
    }),
  )
})

it('computes only what follows from the change, each once and after what it is made from', () => {
  fc.assert(
    fc.property(fc.constantFrom(...signals), known, newest, (changed, others, heard) => {
      // What changed was heard: it is among the newest values.
      const values = others.map((one, place) => (signals[place] === changed ? heard : one))
      const told = recompute(graph, changed, now, reader(values)).map(({ signal }) => signal)
      expect(new Set(told).size).toBe(told.length)
      const moved: SignalName[] = [changed]
      for (const signal of told) {
        const from = graph.nodes.get(signal)?.inputs.map((input) => input.signal) ?? []
        expect(from.some((one) => one !== null && moved.includes(one))).toBe(true)
        expect(told.slice(told.indexOf(signal) + 1).filter((later) => from.includes(later))).toEqual([])
        moved.push(signal)
      }
    }),
  )
})

it('the same readings always give the same values', () => {
  fc.assert(
    fc.property(fc.constantFrom(...signals), known, (changed, values) => {
      const once = recompute(graph, changed, now, reader(values))
      expect(recompute(compileGraph(plan), changed, now, reader(values))).toEqual(once)
    }),
    { numRuns: 30 },
  )
})

it.each(derivations.map((one) => [one.quantity, one] as const))(
  '%s is a known quantity, made of known ones, by an equation that the catalogue has',
  (quantity, { inputs, equation }) => {
    expect(quantityNamed(quantity)).toBeDefined()
    for (const [, input] of inputs)
      if (input.kind === 'signal') expect(quantityNamed(input.quantity)).toBeDefined()
    expect(Object.keys(equations)).toContain(equation)
  },
)
