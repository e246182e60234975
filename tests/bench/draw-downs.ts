import {
  accountOf,
  askedAt,
  forecasts,
  goneFor,
  larkfieldFarm,
  watchNight,
  type DrawDownCase,
} from '../support/draw-downs.js'

// `npx tsx tests/bench/draw-downs.ts [nights]`: how far off the oxygen minutes are, over seeded nights of the practice
// greenhouse in which the air stops; each night once with a watch that has seen nothing yet, once after a stop of twelve
// minutes.

const nights = Number(process.argv[2] ?? 70)
const farm = larkfieldFarm()

for (const learnt of [false, true]) {
  const watched = Array.from({ length: nights }, (_, night) => watchNight(farm, night, learnt))
  const cases = watched.flatMap((one) => one.cases)
  const total = (of: 'quietHours' | 'falseHours') => watched.reduce((sum, one) => sum + one[of], 0)
  const drawDowns = new Set(cases.map(({ night, tank }) => `${night} ${tank}`)).size
  console.log(`\n${learnt ? 'after one short stop' : 'nothing learnt yet'}: ${drawDowns} draw-downs`)
  console.log(
    `  quiet: under half an hour foreseen in ${total('falseHours').toFixed(3)} of ${total('quietHours').toFixed(0)} tank-hours`,
  )
  for (const forecast of forecasts)
    for (const kind of ['mains-outage', 'blower-stop'] as const)
      for (const asked of ['before', ...goneFor.map((gone) => `gone ${gone}` as const), ...askedAt] as const)
        tell(
          `${forecast.slice('oxygen_minutes_'.length)}, ${kind}, ${typeof asked === 'string' ? asked : `${asked} min left`}`,
          cases.filter((one) => one.forecast === forecast && one.kind === kind && one.asked === asked),
        )
}

function tell(what: string, cases: readonly DrawDownCase[]): void {
  if (cases.length === 0) return
  const { silent, median, p90, bias, inside } = accountOf(cases)
  const figures = `median ${median.toFixed(1)}  p90 ${p90.toFixed(1)}  bias ${bias.toFixed(1)} min`
  const rest = `in the interval ${(100 * inside).toFixed(0)} %  no number ${silent}`
  console.log(`  ${what.padEnd(42)} ${String(cases.length).padStart(4)}  ${figures}  ${rest}`)
}
