/** One figure of a benchmark: what was measured, how much, of what, and how it compares to the bare minimum. */
export interface BenchRow {
  readonly what: string
  readonly value: number
  readonly unit: string
  /** Against the same work done without us, in the same run on the same machine; null where there is no such thing. */
  readonly ratio: number | null
}
export type Rows = readonly BenchRow[]
