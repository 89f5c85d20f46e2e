import { type Compared, type ComparedAverage, comparedLengths, compareNight, coverageOf } from './compare-nights.ts'
import { nightOf } from './declared-instruments.ts'

/** Prints how the truth lies in ±U over seeded nights, as docs/uncertainty.md has it: `npx tsx tests/nights/run-nights.ts [nights] [declared|as-published] [PT1M|PT30M|PT1H]`. */
const nights = Number(process.argv[2] ?? 200)
const cells = process.argv[3] === 'as-published' ? 'as-published' : 'declared'
const asked = process.argv[4] ?? 'PT30M'
const average: ComparedAverage = asked in comparedLengths ? (asked as ComparedAverage) : 'PT30M'
const compared: Compared[] = []
for (let seed = 1; seed <= nights; seed++) compared.push(...compareNight(nightOf(seed, cells), seed, average))

const row = (name: string, of: readonly Compared[]): string => {
  const [whole, counted] = [coverageOf(of, 'wholeTruth'), coverageOf(of, 'countedTruth')]
  const percent = (share: number): string => (100 * share).toFixed(1)
  return `| ${name} | ${whole.blocks} | ${percent(whole.within)} ± ${percent(2 * whole.withinError)} | ${whole.median.toFixed(2)} | ${percent(counted.within)} | ${counted.median.toFixed(2)} |`
}
const kinds = [...new Set(compared.map(({ channel, quantity }) => `${channel} ${quantity}`))].sort()
process.stdout.write(
  `${[
    `${nights} nights, ${cells} cells, ${average}`,
    '| value | blocks | truth of the whole block within ±U, % | median of error / U | truth of the counted time, % | median |',
    '| --- | --- | --- | --- | --- | --- |',
    ...kinds.map((kind) =>
      row(
        kind,
        compared.filter(({ channel, quantity }) => `${channel} ${quantity}` === kind),
      ),
    ),
    row('all', compared),
  ].join('\n')}\n`,
)
