/** Something that a publication states, without an equation behind it. */
export interface Fact {
  readonly quantity: string
  readonly value: number
  readonly unit: string
  /** What it is said of, by input: a species, a cover, the conditions under which it was measured. */
  readonly of: Readonly<Record<string, string | Condition>>
  readonly source: string
  /** Page, table or section. */
  readonly where: string
}

/** A condition under which something was measured; the fact says nothing about others. */
export interface Condition {
  readonly value: number
  readonly unit: string
}

/** Facts of one quantity about several things, as a table in a publication has them. */
export const table = (
  quantity: string,
  unit: string,
  [input, values]: readonly [input: string, values: Readonly<Record<string, number>>],
  [source, where]: readonly [source: string, where: string],
): readonly Fact[] =>
  Object.entries(values).map(([name, value]) => ({
    quantity,
    value,
    unit,
    of: { [input]: name },
    source,
    where,
  }))

/** A constant that a publication states. */
export const constant = (
  quantity: string,
  [value, unit]: readonly [value: number, unit: string],
  [source, where]: readonly [source: string, where: string],
): Fact => ({ quantity, value, unit, of: {}, source, where })
