import type { ExplainAnswer, ExplainedCheck, ZeroCourse } from '../../../protocols/live/explain.ts'
import { exactTime, shown, time } from './printed.ts'

/** What the instrument's corrections rest on, as text that a pocket calculator can follow. */

export function crossLines({ channels }: ExplainAnswer): string[] {
  const solved = channels.filter(({ solvedFrom }) => solvedFrom.length > 0)
  if (solved.length === 0) return []
  return [
    '',
    'Cross-sensitivity: what each cell shows, and the gas solved from it; each value after its own zero, span and dilution',
    ...solved.flatMap(({ id, answersTo, solvedFrom }) => [
      `  cell of ${id} shows ${sumText(answersTo)}`,
      `  ${id} = ${sumText(solvedFrom)}`,
    ]),
  ]
}

const sumText = (parts: ExplainAnswer['channels'][number]['solvedFrom']): string =>
  parts
    .map(({ channel, factor }, place) => {
      const sign = factor < 0 ? '− ' : '+ '
      return `${place === 0 && factor >= 0 ? '' : sign}${shown(Math.abs(factor))} · ${channel}`
    })
    .join(' ')

const checkText = ({ kind, gas, expected, response, performedMs, by }: ExplainedCheck): string =>
  `${kind} check of ${time(performedMs)} with ${gas}: gas ${shown(expected)}, shown ${shown(response)}${by === null ? '' : `, told by ${by}`}`

/** each: every reading of the zeros too. */
export function zeroLines({ zeros, zeroCourses }: ExplainAnswer, each: boolean): string[] {
  if (zeros.length === 0) return []
  return [
    '',
    'Zeros subtracted',
    ...zeros.flatMap(({ channel, atMs, middleMs, mean, standardDeviation, bounds, check, readings }) => {
      if (check) return [`  ${channel}: ${shown(mean)}, of the ${checkText(check)}`]
      const [first, last] = [readings[0], readings.at(-1)]
      const beyond = bounds ? `, those below ${shown(bounds.low)} or above ${shown(bounds.high)} taken as that` : ''
      return [
        `  ${channel}: ${shown(mean)}${standardDeviation === null ? '' : ` (standard deviation ${shown(standardDeviation)})`}, mean of ${readings.length} readings${beyond}, lines ${first?.sequence} to ${last?.sequence}; middle ${exactTime(middleMs)}; the purge or zero ended ${time(atMs)}`,
        ...(each ? readings.map(({ sequence, value, line }) => `    ${sequence}  ${shown(value)}  ${line}`) : []),
      ]
    }),
    ...(zeroCourses.length === 0
      ? []
      : [
          '',
          'How the zeros went: on the line between two, zero = first + (second − first) · (time − first middle) / (second middle − first middle)',
          ...zeroCourses.map(
            (course) => `  ${course.channel}, ${time(course.fromMs)} to ${time(course.toMs)}: ${courseText(course)}`,
          ),
        ]),
  ]
}

function courseText({ how, zeroOf, zeroTo }: ZeroCourse): string {
  const first = `the zero that ended ${time(zeroOf)}`
  switch (how) {
    case 'line':
      return `on the line from ${first} to the one that ended ${time(zeroTo ?? Number.NaN)}`
    case 'too small':
      return `${first}; the next, which ended ${time(zeroTo ?? Number.NaN)}, lies too near to be corrected for`
    case 'held':
      return `${first}; no zero after it is known`
  }
}

export function spanLines({ spans }: ExplainAnswer): string[] {
  if (spans.length === 0) return []
  return [
    '',
    'Span factors from checks: 1 / sensitivity; sensitivity = (shown − (zero shown − zero gas)) / gas, between two checks on the line between theirs, at the start of each minute',
    ...spans.flatMap(({ channel, points }) =>
      points.flatMap(({ check, zero, sensitivity }) => [
        `  ${channel}: sensitivity ${shown(sensitivity)}, of the ${checkText(check)}`,
        ...(zero ? [`    zero taken off: ${checkText(zero)}`] : []),
      ]),
    ),
  ]
}
