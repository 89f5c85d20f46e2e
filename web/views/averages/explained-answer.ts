import { type ExplainAnswer, explainAnswer } from '../../../protocols/live/explain.ts'
import type { AverageRow } from '../../../protocols/words/blocks.ts'
import { type Asked, ask, recordingPath, withQuery } from '../../answers.ts'

/** One average down to its lines, with at most `most` of its readings from number `from` on. `recording` null: the running one. */
export const askExplained = (
  recording: string | null,
  row: AverageRow,
  from: number,
  most: number,
): Promise<Asked<ExplainAnswer>> =>
  ask(
    explainAnswer,
    withQuery(recordingPath(recording, 'explain'), {
      block: row.startMs,
      channel: row.channel,
      average: row.average,
      quantity: row.quantity,
      unit: row.unit,
      from,
      most,
    }),
  )
