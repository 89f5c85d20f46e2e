import { Command, Option } from 'commander'
import { type Compared, type ComparedAverage, comparedLengths, compareNight, coverageOf } from './compare-nights.ts'
import { type CellsOfNights, cellsOfNights, nightOf } from './declared-instruments.ts'

/** Prints how the truth lies in ±U over seeded nights, as docs/uncertainty.md has it: `npx tsx tests/nights/run-nights.ts`. */
const asked = new Command('run-nights')
  .option('--nights <number>', 'how many', Number, 200)
  .option('--step <seconds>', 'from line to line', Number, 1)
  .addOption(new Option('--cells <which>', 'whose errors are drawn').choices(cellsOfNights).default('declared'))
  .addOption(new Option('--average <duration>', 'blocks').choices(Object.keys(comparedLengths)).default('PT30M'))
  .parse()
  .opts<{ nights: number; step: number; cells: CellsOfNights; average: ComparedAverage }>()

const compared: Compared[] = []
for (let seed = 1; seed <= asked.nights; seed++)
  compared.push(...compareNight(nightOf(seed, asked.cells, asked.step), seed, asked.average))

const row = (name: string, of: readonly Compared[]): string => {
  const [whole, counted] = [coverageOf(of, 'wholeTruth'), coverageOf(of, 'countedTruth')]
  const percent = (share: number): string => (100 * share).toFixed(1)
  return `| ${name} | ${whole.blocks} | ${percent(whole.within)} ± ${percent(2 * whole.withinError)} | ${whole.median.toFixed(2)} | ${percent(counted.within)} | ${counted.median.toFixed(2)} |`
}
const kinds = [...new Set(compared.map(({ channel, quantity }) => `${channel} ${quantity}`))].sort()
process.stdout.write(
  `${[
    `${asked.nights} nights, ${asked.cells} cells, ${asked.average}, a line every ${asked.step} s`,
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
