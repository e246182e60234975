import type { Calculation, Equation, Input, Shaped } from './calculation.js'
import { refused } from './calculation.js'
import { stated } from './equations.js'
import { engineeringFacts } from './facts/engineering.js'
import type { Condition, Fact } from './facts/fact.js'
import { tolerances } from './facts/tolerances.js'
import { bare, optional, word } from './inputs.js'

type Told = Readonly<Record<string, unknown>>

const everyFact = [...tolerances, ...engineeringFacts]

/** One entry of the catalogue per quantity that facts state; what they are about are its inputs. */
export const factCalculations: readonly Calculation[] = [
  ...new Set(everyFact.map((fact) => fact.quantity)),
].map((quantity) =>
  fromFacts(
    quantity,
    everyFact.filter((fact) => fact.quantity === quantity),
  ),
)

function fromFacts(quantity: string, facts: readonly Fact[]): Calculation {
  const names = [...new Set(facts.flatMap((fact) => Object.keys(fact.of)))]
  const always = (name: string) => facts.every((fact) => name in fact.of)
  return {
    quantity,
    label: quantity.replaceAll('_', ' '),
    unit: facts[0]?.unit ?? '1',
    inputs: Object.fromEntries(
      names.map((name) => [name, always(name) ? inputOf(name, facts) : optional(inputOf(name, facts))]),
    ),
    equation: (told) => citation(matching(facts, told)[0]),
    compute: (told) => {
      const fits = matching(facts, told)
      return fits.length === 1 ? (fits[0]?.value ?? null) : refused(`give ${waysOf(facts)}`)
    },
    cautions: [],
  }
}

function isCondition(said: string | Condition | undefined): said is Condition {
  return typeof said === 'object'
}

function inputOf(name: string, facts: readonly Fact[]): Input<Shaped> {
  const said = facts.map((fact) => fact.of[name])
  const condition = said.find(isCondition)
  if (condition === undefined) return word(...said.filter((one) => typeof one === 'string'))
  const [, unit = condition.unit, countedAs] = /^(.*) (BOD5)$/.exec(condition.unit) ?? []
  // Measured once, under this condition: nothing is known of others.
  return bare(unit, [condition.value, condition.value], countedAs === undefined ? {} : { countedAs })
}

/** Facts that speak of exactly what was told. */
function matching(facts: readonly Fact[], told: Told): readonly Fact[] {
  const given = Object.entries(told).filter(([, value]) => value !== null)
  return facts.filter((fact) => {
    const about = Object.entries(fact.of)
    return (
      about.length === given.length && about.every(([name, said]) => isCondition(said) || told[name] === said)
    )
  })
}

const waysOf = (facts: readonly Fact[]): string =>
  [...new Set(facts.map((fact) => Object.keys(fact.of).join(' and ')))]
    .map((names) => `${names} alone`)
    .join(', or ')

const citation = (fact: Fact | undefined): Equation =>
  fact === undefined ? stated('', '') : stated(fact.where, fact.source)
