import { html, nothing, type TemplateResult } from 'lit'
import type { ExplainAnswer, ExplainedCheck, ZeroCourse } from '../../../protocols/live/explain.ts'
import { dayTimeText, hourMinuteSecondText, type Zone } from '../../format/times.ts'
import { rowUnitText } from '../../format/units.ts'
import * as explainedTexts from '../../texts/average-explained.ts'
import { reasonWords } from '../../texts/averages.ts'
import { calculated } from './calculated.ts'

type Part = TemplateResult | typeof nothing

const checkText = ({ kind, gas, expected, response, performedMs, by }: ExplainedCheck, zone: Zone): string =>
  explainedTexts.check(
    explainedTexts.checkWords[kind],
    dayTimeText(performedMs, zone),
    gas,
    calculated(expected),
    calculated(response),
    by,
  )

/** The zeros that were subtracted, and how each went between two. */
export function zerosPart({ zeros, zeroCourses }: ExplainAnswer, zone: Zone): Part {
  if (zeros.length === 0) return nothing
  return html`<section><h3>${explainedTexts.zeros}</h3><ul>${zeros.map(
    ({ channel, mean, bounds, check, readings, atMs }) =>
      check
        ? html`<li><strong>${channel}: ${calculated(mean)}</strong> <span class="soft">${explainedTexts.zeroOfCheck(checkText(check, zone))}</span></li>`
        : html`<li><strong>${channel}: ${calculated(mean)}</strong> <span class="soft">${explainedTexts.zeroOfReadings(readings.length, bounds && { low: calculated(bounds.low), high: calculated(bounds.high) }, readings[0]?.sequence ?? nothing, readings.at(-1)?.sequence ?? nothing, dayTimeText(atMs, zone))}</span></li>`,
  )}</ul>
    ${
      zeroCourses.length === 0
        ? nothing
        : html`<p class="soft small">${explainedTexts.zeroLine}</p>
          <ul>${zeroCourses.map((course) => html`<li>${course.channel}, ${hourMinuteSecondText(course.fromMs, zone)}–${hourMinuteSecondText(course.toMs, zone)}: ${courseText(course, zone)}</li>`)}</ul>`
    }</section>`
}

function courseText({ how, zeroOf, zeroTo }: ZeroCourse, zone: Zone): string {
  const first = explainedTexts.zeroEnded(dayTimeText(zeroOf, zone))
  const next = zeroTo === null ? '' : dayTimeText(zeroTo, zone)
  switch (how) {
    case 'line':
      return explainedTexts.onTheLine(first, next)
    case 'too small':
      return explainedTexts.tooNear(first, next)
    case 'held':
      return explainedTexts.held(first)
  }
}

/** Span factors that come from checks. */
export function spansPart({ spans }: ExplainAnswer, zone: Zone): Part {
  if (spans.length === 0) return nothing
  return html`<section><h3>${explainedTexts.spans}</h3><p class="soft small">${explainedTexts.spanFormula}</p>
    <ul>${spans.flatMap(({ channel, points }) => points.map(({ check, zero, sensitivity }) => html`<li><strong>${channel}: ${calculated(sensitivity)}</strong> <span class="soft">${checkText(check, zone)}${zero ? explainedTexts.zeroTakenOff(checkText(zero, zone)) : ''}</span></li>`))}</ul></section>`
}

/** What cells show of each other, and how the gases are solved from them. */
export function crossPart({ channels }: ExplainAnswer): Part {
  const solved = channels.filter(({ solvedFrom }) => solvedFrom.length > 0)
  if (solved.length === 0) return nothing
  return html`<section><h3>${explainedTexts.crossSensitivity}</h3><ul>${solved.map(({ id, answersTo, solvedFrom }) => html`<li>${explainedTexts.cellShows(id, sumText(answersTo), html`<strong>${id} = ${sumText(solvedFrom)}</strong>`)}</li>`)}</ul>
    <p class="soft small">${explainedTexts.afterItsOwn}</p></section>`
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
  return html`<details><summary>${explainedTexts.madeOf(`${calculated(row.uncertainty)} ${rowUnitText(row)}`)}</summary>
    <ol class="doubts">${uncertainty.map(({ name, standard, share, detail }) => html`<li><strong>${share === null ? '' : `${share.toFixed(1)} %: `}${name}</strong>, ${calculated(standard)} <span class="soft small">${detail}</span></li>`)}</ol>
    <p class="soft small">${explainedTexts.addedUp}</p></details>`
}

/** The blocks that an average of blocks is formed of. */
export function blocksPart({ blocks }: ExplainAnswer, zone: Zone): Part {
  if (blocks === null) return nothing
  return html`<section><h3>${explainedTexts.formedOf(blocks.length)}</h3><ul>${blocks.map((block) => html`<li>${dayTimeText(block.startMs, zone)}: <strong>${calculated(block.mean)}</strong> ${block.valid ? '' : html`<span class="soft">${explainedTexts.leftOut(block.reasons.map((reason) => reasonWords[reason]).join('; '))}</span>`}</li>`)}</ul></section>`
}
