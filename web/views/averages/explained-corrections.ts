import { html, nothing, type TemplateResult } from 'lit'
import type { ExplainAnswer, ExplainedCheck, ZeroCourse } from '../../../protocols/live/explain.ts'
import { dayTimeText, hourMinuteSecondText, type Zone } from '../../format/times.ts'
import { rowUnitText } from '../../format/units.ts'
import { reasonWords } from '../../texts.ts'
import { calculated } from './calculated.ts'

type Part = TemplateResult | typeof nothing

const checkText = ({ kind, gas, expected, response, performedMs, by }: ExplainedCheck, zone: Zone): string =>
  `${kind} check of ${dayTimeText(performedMs, zone)} with ${gas}: the gas holds ${calculated(expected)}, shown ${calculated(response)}${by === null ? '' : `, told by ${by}`}`

/** The zeros that were subtracted, and how each went between two. */
export function zerosPart({ zeros, zeroCourses }: ExplainAnswer, zone: Zone): Part {
  if (zeros.length === 0) return nothing
  return html`<section><h3>Zeros subtracted</h3><ul>${zeros.map(({ channel, mean, bounds, check, readings, atMs }) =>
    check
      ? html`<li><strong>${channel}: ${calculated(mean)}</strong> <span class="soft">of the ${checkText(check, zone)}</span></li>`
      : html`<li><strong>${channel}: ${calculated(mean)}</strong> <span class="soft">mean of ${readings.length} readings${bounds ? `, those beyond ${calculated(bounds.low)} and ${calculated(bounds.high)} taken as that` : ''}, lines ${readings[0]?.sequence} to ${readings.at(-1)?.sequence}; the purge or zero ended ${dayTimeText(atMs, zone)}</span></li>`,
  )}</ul>
    ${
      zeroCourses.length === 0
        ? nothing
        : html`<p class="soft small">On the line between two: first + (second − first) · (time − middle of the first) / (middle of the second − middle of the first).</p>
          <ul>${zeroCourses.map((course) => html`<li>${course.channel}, ${hourMinuteSecondText(course.fromMs, zone)}–${hourMinuteSecondText(course.toMs, zone)}: ${courseText(course, zone)}</li>`)}</ul>`
    }</section>`
}

function courseText({ how, zeroOf, zeroTo }: ZeroCourse, zone: Zone): string {
  const first = `the zero that ended ${dayTimeText(zeroOf, zone)}`
  const next = zeroTo === null ? '' : dayTimeText(zeroTo, zone)
  switch (how) {
    case 'line':
      return `on the line from ${first} to the one that ended ${next}`
    case 'too small':
      return `${first}; the next, which ended ${next}, lies too near to be corrected for`
    case 'held':
      return `${first}; no zero after it is known`
  }
}

/** Span factors that come from checks. */
export function spansPart({ spans }: ExplainAnswer, zone: Zone): Part {
  if (spans.length === 0) return nothing
  return html`<section><h3>Span factors from checks</h3><p class="soft small">1 / sensitivity; sensitivity = (shown − (zero shown − zero gas)) / gas; between two checks on the line between theirs, at the start of each minute.</p>
    <ul>${spans.flatMap(({ channel, points }) => points.map(({ check, zero, sensitivity }) => html`<li><strong>${channel}: ${calculated(sensitivity)}</strong> <span class="soft">${checkText(check, zone)}${zero ? `; zero taken off: ${checkText(zero, zone)}` : ''}</span></li>`))}</ul></section>`
}

/** What cells show of each other, and how the gases are solved from them. */
export function crossPart({ channels }: ExplainAnswer): Part {
  const solved = channels.filter(({ solvedFrom }) => solvedFrom.length > 0)
  if (solved.length === 0) return nothing
  return html`<section><h3>Cross-sensitivity</h3><ul>${solved.map(({ id, answersTo, solvedFrom }) => html`<li>The cell of ${id} shows ${sumText(answersTo)}; <strong>${id} = ${sumText(solvedFrom)}</strong></li>`)}</ul>
    <p class="soft small">Each value after its own zero, span and dilution.</p></section>`
}

const sumText = (parts: ExplainAnswer['channels'][number]['solvedFrom']): string =>
  parts
    .map(({ channel, factor }, place) => {
      const sign = factor < 0 ? '− ' : place === 0 ? '' : '+ '
      return `${sign}${calculated(Math.abs(factor))} · ${channel}`
    })
    .join(' ')

/** What the uncertainty is made of, the largest first. */
export function uncertaintyPart({ row, uncertainty }: ExplainAnswer): Part {
  if (row.uncertainty === null || uncertainty.length === 0) return nothing
  return html`<details><summary>± ${calculated(row.uncertainty)} ${rowUnitText(row)}: what it is made of</summary>
    <ol class="doubts">${uncertainty.map(({ name, standard, share, detail }) => html`<li><strong>${share === null ? '' : `${share.toFixed(1)} %: `}${name}</strong>, ${calculated(standard)} <span class="soft small">${detail}</span></li>`)}</ol>
    <p class="soft small">Standard uncertainties, added by their squares and doubled (k = 2).</p></details>`
}

/** The blocks that an average of blocks is formed of. */
export function blocksPart({ blocks }: ExplainAnswer, zone: Zone): Part {
  if (blocks === null) return nothing
  return html`<section><h3>Formed of ${blocks.length} blocks</h3><ul>${blocks.map((block) => html`<li>${dayTimeText(block.startMs, zone)}: <strong>${calculated(block.mean)}</strong> ${block.valid ? '' : html`<span class="soft">left out: ${block.reasons.map((reason) => reasonWords[reason]).join('; ')}</span>`}</li>`)}</ul></section>`
}
