import type { ChannelInfo, LimitInfo, StatedResults } from '../../../protocols/live/messages.ts'
import type { AverageRow } from '../../../protocols/words/blocks.ts'
import { averageText } from '../../format/durations.ts'
import { isoText, type Zone } from '../../format/times.ts'
import { unitName } from '../../format/units.ts'
import { copiedValue } from '../../parts/copied-value.ts'
import { tabSeparated } from '../../parts/copy-text.ts'
import * as averageTexts from '../../texts/averages.ts'
import { verdictWords } from './row-verdict.ts'

/** The rows as a table for a spreadsheet: every digit, all that belongs to a number in cells beside it. */
export const copiedRows = (
  rows: readonly AverageRow[],
  channels: readonly ChannelInfo[],
  limits: readonly LimitInfo[],
  use: StatedResults['uncertainty'],
  zone: Zone,
  decimal: string,
): string =>
  tabSeparated(
    [
      averageTexts.copiedHeading,
      ...rows.map((row) => [
        isoText(row.startMs, zone),
        isoText(row.endMs, zone),
        averageText(row.average),
        ...copiedValue(row, channels),
        row.mean,
        row.uncertainty,
        row.minimum,
        row.maximum,
        row.standardDeviation,
        row.count,
        row.coverage,
        row.state === 'open' ? averageTexts.running : row.valid ? averageTexts.valid : averageTexts.invalid,
        row.verdicts
          .map((verdict) => {
            const limit = limits.find(({ id }) => id === verdict.limit)
            const named = limit
              ? averageTexts.itsLimitOf(`${limit.value} ${unitName(limit.unit)}`)
              : averageTexts.itsLimit
            return verdictWords({ verdict, named, isUncertaintyKnown: row.uncertainty !== null, use }).said
          })
          .join('; '),
        row.reasons.map((reason) => averageTexts.reasonWords[reason]).join('; '),
        averageTexts.blockStateWords[row.state],
        row.detection,
        row.conditions,
      ]),
    ],
    decimal,
  )
