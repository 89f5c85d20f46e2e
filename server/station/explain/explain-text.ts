import type { CalculationStep, ExplainAnswer, ExplainedReading } from '../../../protocols/live/explain.ts'
import { valueQuantityNames } from '../../../protocols/words/quantities.ts'
import { crossLines, spanLines, zeroLines } from './correction-text.ts'
import { seconds, shown, time, timeOfDay } from './printed.ts'

/**
 * One average, down to its lines, as text that can be followed with a pocket calculator: each printed number comes from
 * the printed numbers before it within the rounding of ten digits. Times are UTC.
 */
export function explainText(answer: ExplainAnswer, { readings }: { readonly readings: boolean }): string {
  return [
    ...head(answer),
    ...channelLines(answer),
    ...crossLines(answer),
    ...zeroLines(answer, readings),
    ...spanLines(answer),
    ...stretchLines(answer),
    ...(readings ? readingLines(answer) : []),
    ...minuteLines(answer),
    ...answer.steps.flatMap((step, at) => ['', ...stepLines(step, at + 1)]),
    ...resultLines(answer),
  ].join('\n')
}

function head({ row, recording, kind, stored, agrees, difference, engine }: ExplainAnswer): string[] {
  const basis = [
    row.basis,
    row.referenceOxygen === null ? null : `at ${row.referenceOxygen} vol% oxygen`,
    row.conditions,
  ].filter(Boolean)
  return [
    `${row.channel}, ${valueQuantityNames[row.quantity]}${basis.length > 0 ? `, ${basis.join(', ')}` : ''}`,
    `${kind === 'block' ? 'block' : 'rolling average'} of ${row.average} from ${time(row.startMs)} to ${time(row.endMs)} (all times UTC)`,
    `run ${recording.run}, station ${recording.station}${recording.invented ? '; invented data' : ''}`,
    `newest seal ${recording.head ?? 'none'}`,
    `result: ${shown(row.mean)} ${row.unit}, ${row.valid ? 'valid' : 'INVALID'}, ${row.state}${row.reasons.length > 0 ? `; ${row.reasons.join(', ').replaceAll('_', ' ')}` : ''}`,
    stored === null
      ? `formed now by engine ${engine}; not stored yet`
      : agrees
        ? `recomputed by engine ${engine}: as stored`
        : `recomputed by engine ${engine}: DIFFERS; ${difference}`,
  ]
}

function channelLines({ channels, together, correction }: ExplainAnswer): string[] {
  return [
    '',
    'Channels',
    ...channels.map((channel) => {
      const from =
        channel.field === null
          ? `sum of ${channel.sumOf.map(({ channel: id, factor }) => (factor === 1 ? id : `${id} · ${factor}`)).join(' + ')}`
          : `field ${channel.field.name} (${placeText(channel.field)})`
      const range =
        channel.lowest === null
          ? ''
          : `; counts from ${shown(channel.lowest)} to ${shown(channel.highest)} ${channel.unit}`
      const needs = channel.needs.map(({ channel: id, between: [low, high] }) => `${id} ${low}…${high}`)
      return `  ${channel.id}, ${channel.unit}: ${from}${range}${needs.length > 0 ? `; needs ${needs.join(', ')}` : ''}; waits ${seconds(channel.waitMs)} s after a purge`
    }),
    `  a reading counts where ${together.length > 1 ? `all of ${together.join(', ')} count` : `${together[0]} counts`}`,
    `  corrected = ${correction.formula}`,
  ]
}

function placeText({ at, form, delimiter }: NonNullable<ExplainAnswer['channels'][number]['field']>): string {
  if (typeof at === 'object') return `columns ${at.from} to ${at.from + at.length - 1}, counted from 0`
  return typeof at === 'number'
    ? `part ${at} of the line, counted from 0${delimiter ? `, parted by ${JSON.stringify(delimiter)}` : ''}`
    : `${form === 'pattern' ? 'group' : 'key'} ${at}`
}

function stretchLines({ stretches, exclusions }: ExplainAnswer): string[] {
  if (stretches.length === 0) return []
  return [
    '',
    'What the time was spent on',
    ...stretches.map(
      ({ fromMs, toMs, what, counts, readings, reason }) =>
        `  ${timeOfDay(fromMs)} to ${timeOfDay(toMs)}  ${what}, ${readings} readings: ${counts ? 'counts' : `does not count (${reason})`}`,
    ),
    ...exclusions.map(
      ({ fromMs, toMs, reason, by, toldMs }) =>
        `  excluded ${time(fromMs)} to ${time(toMs)} by ${by} on ${time(toldMs)}: ${reason}`,
    ),
  ]
}

const laneNames = ({ lanes }: ExplainAnswer): string[] =>
  lanes.map(({ channel, from }) => `${channel} ${from === 'raw' ? 'as read' : from}`)

/** `value · time` of each lane, summed over the parts. */
function weighed({ parts }: ExplainedReading): { readonly ms: number; readonly values: readonly number[] } {
  return { ms: parts.reduce((sum, { fromMs, toMs }) => sum + toMs - fromMs, 0), values: parts[0]?.values ?? [] }
}

function readingLines(answer: ExplainAnswer): string[] {
  const { readings, lanes, blocks } = answer
  if (blocks) return []
  const solved = new Set(answer.channels.filter(({ solvedFrom }) => solvedFrom.length > 0).map(({ id }) => id))
  return [
    '',
    `Readings: number of the line, its time, phase; then for each channel as read, zero, span factor, dilution${solved.size > 0 ? ' → by itself' : ''} → corrected; the seconds that it weighs in each minute`,
    ...readings.flatMap((reading) => {
      const start = `  ${reading.sequence}  ${timeOfDay(reading.atMs)}  ${reading.phase}`
      const values = Object.entries(reading.values).map(
        ([id, { asRead, zero, spanFactor, dilution, alone, corrected }]) =>
          `${id} ${shown(asRead)}, ${shown(zero)}, ${shown(spanFactor)}, ${shown(dilution)} → ${solved.has(id) ? `${shown(alone)} → ` : ''}${shown(corrected)}`,
      )
      const weight = reading.counts
        ? reading.parts
            .map(({ fromMs, toMs }) => `${timeOfDay(fromMs).slice(0, 5)} ${seconds(toMs - fromMs)} s`)
            .join(' + ')
        : `not counted: ${reading.why}`
      const converted = lanes.some(({ from }) => from === 'converted')
        ? `  converted ${weighed(reading).values.map(shown).join(', ')}`
        : ''
      return [`${start}  ${values.join('; ')}${converted}  ${weight}`, `      ${reading.line}`]
    }),
  ]
}

function minuteLines(answer: ExplainAnswer): string[] {
  const { minutes, joined, sums, together, blocks } = answer
  if (blocks)
    return [
      '',
      'Blocks: start, end, mean; what is left out, and why',
      ...blocks.map(
        ({ startMs, endMs, mean, unit, valid, reasons }) =>
          `  ${time(startMs)}  ${time(endMs)}  ${shown(mean)} ${unit}${valid ? '' : `  left out: ${reasons.join(', ').replaceAll('_', ' ')}`}`,
      ),
    ]
  const sum = `  sum    ${seconds(sums.countedMs)} s  ${sums.integrals.map((value) => shown(value / 1000)).join('  ')}`
  if (joined)
    return [
      '',
      `Minutes joined across instruments: start, seconds that count, means of ${together.join(', ')}`,
      ...joined.map(
        ({ startMs, countedMs, means }) =>
          `  ${timeOfDay(startMs)}  ${seconds(countedMs)} s  ${means.map(shown).join('  ')}`,
      ),
      sum,
    ]
  return [
    '',
    `Minutes: start, counted time, sum of value · time of ${laneNames(answer).join(', ')}; lines`,
    ...minutes.map(
      ({ startMs, countedMs, integrals, firstSequence, lastSequence }) =>
        `  ${timeOfDay(startMs)}  ${seconds(countedMs)} s  ${integrals.map((value) => shown(value / 1000)).join('  ')}  lines ${firstSequence} to ${lastSequence}`,
    ),
    sum,
  ]
}

const unitWord = (unit: string): string => (unit === '1' ? '' : unit)

function stepLines({ step, formula, inputs, result, unit, source }: CalculationStep, number: number): string[] {
  return [
    `${number}. ${step}: ${formula}`,
    ...inputs.map((input) => `     ${input.name} = ${shown(input.value)} ${unitWord(input.unit)}`.trimEnd()),
    `   = ${shown(result)} ${unitWord(unit)}`.trimEnd(),
    ...(source ? [`     source: ${source}`] : []),
  ]
}

function resultLines({ row, validity, uncertainty, limits, history }: ExplainAnswer): string[] {
  return [
    '',
    `Valid when ${validity.rule}: ${validity.valid ? 'valid' : 'INVALID'}`,
    ...(row.uncertainty === null ? [] : [`Uncertainty: ± ${shown(row.uncertainty)} ${row.unit} (k = 2)`]),
    ...uncertainty.map(
      ({ name, standard, share, detail }) =>
        `  ${name}: ${shown(standard)} ${row.unit}${share === null ? '' : `, ${shown(share)} %`}${detail ? `; ${detail}` : ''}`,
    ),
    ...history.map(
      ({ replacedMs, by, reason, mean, valid }) =>
        `Until ${time(replacedMs)}: ${shown(mean)} ${row.unit}, ${valid ? 'valid' : 'INVALID'}; changed${by ? ` by ${by}` : ''}: ${reason}`,
    ),
    ...limits.map(({ limit, value, unit, verdict }) => `Limit ${limit}, ${shown(value)} ${unit}: ${verdict}`),
  ]
}
