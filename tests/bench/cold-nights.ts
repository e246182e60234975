import { accuracyOf, casesOf, larkfieldPlan } from '../support/cold-nights.js'

// How well is "hours until too cold if heat stops" foreseen? `npx tsx tests/bench/cold-nights.ts [nights]`

const nights = Number(process.argv[2] ?? 220)
const plan = larkfieldPlan()
const cases = Array.from({ length: nights }, (_, night) => casesOf(night + 1, plan)).flat()
console.log(
  `${nights} nights of the practice greenhouse in which the heat stops; hours and shares of the truth`,
)
for (const row of accuracyOf(cases)) {
  const share = (value: number): string => `${Math.round(100 * value)} %`
  console.log(
    `${`${row.of} ${row.asked}`.padEnd(36)} ${String(row.cases).padStart(4)} cases` +
      ` | off by ${row.median.toFixed(2)} h (${share(row.medianShare)}), nine of ten within ${row.ninetieth.toFixed(2)} h` +
      ` (${share(row.ninetiethShare)}), bias ${row.bias.toFixed(2)} h | in the interval ${share(row.covered)}` +
      ` (sooner ${share(row.soonerThanLow)}), width ${share(row.width)} of the truth`,
  )
}
