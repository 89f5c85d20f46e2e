import type { CalculationStep } from '../../../protocols/live/explain.ts'
import type { AverageRow } from '../../../protocols/words/blocks.ts'
import type { AverageOfBlocks } from '../../engine/settings/long-averages-shape.ts'
import type { TracedBlocks } from '../../engine/tracing/traced.ts'

/** The rule of an average of blocks, in words. */
export function validityOfBlocks({ valid: { atMostInvalid, atLeastValid, share } }: AverageOfBlocks): string {
  const rules = [
    atMostInvalid === undefined ? null : `at most ${atMostInvalid} of its blocks are missing or invalid`,
    atLeastValid === undefined ? null : `at least ${atLeastValid} of its blocks are valid`,
    share === undefined ? null : `at least ${share} of its blocks are valid`,
  ].filter((rule) => rule !== null)
  const words = rules.length > 0 ? rules.join(' and ') : 'at least one of its blocks is valid'
  return `${words}; blocks in which the plant did not run are no part of it`
}

const goesIn = ({ valid, mean }: AverageRow): boolean => valid && mean !== null

/** The mean of the valid blocks, each weighing the same. */
export function stepsOfBlocks(row: AverageRow, { blocks, expected }: TracedBlocks): CalculationStep[] {
  const valid = blocks.filter(goesIn)
  const sum = valid.reduce((total, { mean }) => total + (mean ?? 0), 0)
  return [
    {
      step: `mean of ${row.channel} over its valid blocks`,
      formula: 'sum of the means of the valid blocks / their number',
      inputs: [
        { name: 'sum of the means', value: sum, unit: row.unit },
        { name: 'valid blocks', value: valid.length, unit: '1' },
      ],
      result: row.mean,
      unit: row.unit,
      source: '44. BImSchV § 30(1): the day from its half-hours; 40 CFR 60.4380(b)(1): four operating hours',
    },
    {
      step: 'coverage',
      formula: 'valid blocks / blocks of the average in which the plant ran',
      inputs: [
        { name: 'valid blocks', value: valid.length, unit: '1' },
        { name: 'blocks in which the plant ran', value: expected, unit: '1' },
      ],
      result: row.coverage,
      unit: '1',
      source: null,
    },
  ]
}
