import { html } from 'lit'
import type { Picture } from '../history.ts'
import type { Shade } from '../parts/phase-pattern.ts'
import { noMarks, type TrendMarks } from '../parts/trend-paint.ts'
import type { Beside } from '../parts/trend-strip.ts'
import { usualWindow } from '../window.ts'
import { minute, nowMs, nox, oxygen, station } from './invented.ts'
import type { Group } from './shown.ts'
import '../parts/trend-strip.ts'
import '../views/watch/trend-bar.ts'

const fromMs = nowMs - 120 * minute
const steps = 360
/** An invented wave; null between the two shares of the stretch. */
const wave = (middle: number, height: number, gapFrom = 2, gapTo = 2): Picture => {
  const shares = Array.from({ length: steps }, (_, place) => place / steps)
  return {
    x: shares.map((share) => (fromMs + share * (nowMs - fromMs)) / 1000),
    y: shares.map((share) =>
      share >= gapFrom && share < gapTo
        ? null
        : middle + height * Math.sin(share * 19) + (height / 4) * Math.sin(share * 301),
    ),
  }
}
const step = (place: number, mean: number, more: Partial<TrendMarks['steps'][number]> = {}) => ({
  startMs: fromMs + place * 30 * minute,
  endMs: fromMs + (place + 1) * 30 * minute,
  mean,
  valid: true,
  isOpen: false,
  isBeyond: false,
  ...more,
})
const limit = { value: 200, label: 'limit 200' }
const shades: readonly Shade[] = ['purge', 'settle', 'zero', 'span', 'standby', 'fault', 'unknown', 'gap', 'excluded']
const strip = (picture: Picture, marks: Partial<TrendMarks>, beside: Beside | null = null) =>
  html`<trend-strip .picture=${picture} .marks=${{ ...noMarks, ...marks, apart: marks.shades ?? [] }} .fromMs=${fromMs} .toMs=${nowMs} .zone=${station().clock} .decimals=${0} withTimes unit="mg/m³ at 3 % O₂, dry" axisUnit="mg/m³ at 3 % O₂" .scale=${{ fromZero: true, limits: (marks.limits ?? []).map(({ value }) => value), leastSpan: 8 }} .beside=${beside} label="An invented trend"></trend-strip>`
const bar = (more: { window?: object; loading?: boolean; error?: string; beside?: string }) =>
  html`<trend-bar .window=${more.window ?? usualWindow} .fromMs=${fromMs} .toMs=${nowMs} .nowMs=${nowMs} .zone=${station().clock} value="limits" ?loading=${more.loading ?? false} .error=${more.error ?? ''} .channels=${[oxygen, nox]} beside=${more.beside ?? ''}></trend-bar>`

export const trendStates: Group = {
  name: 'Trends',
  shown: [
    [
      'normal: trace, means, limit, flag',
      strip(wave(160, 12), {
        limits: [limit],
        flags: [nowMs - 50 * minute],
        steps: [step(0, 158), step(1, 166), step(2, 163), step(3, 170, { isOpen: true })],
      }),
    ],
    [
      'a mean beyond the limit, one invalid',
      strip(wave(196, 14), {
        limits: [limit],
        steps: [step(0, 191), step(1, 206, { isBeyond: true }), step(2, 188, { valid: false })],
      }),
    ],
    [
      'every shade of a stretch that does not count',
      strip(wave(160, 12), {
        shades: shades.map((shade, place) => ({
          shade,
          startMs: fromMs + place * 13 * minute,
          endMs: fromMs + (place + 1) * 13 * minute - 3 * minute,
        })),
      }),
    ],
    [
      'a gap',
      strip(wave(160, 12, 0.4, 0.55), {
        shades: [{ shade: 'gap', startMs: fromMs + 48 * minute, endMs: fromMs + 66 * minute }],
      }),
    ],
    [
      'another channel laid over',
      strip(
        wave(160, 12),
        { limits: [limit] },
        { name: 'O₂', unit: '%, dry', axisUnit: '%', decimals: 2, picture: wave(4.3, 0.5), range: [3, 6] },
      ),
    ],
    ['loading or empty: nothing to draw', strip({ x: [], y: [] }, { limits: [limit] })],
    ['bar: follows along', bar({})],
    ['bar: whole run', bar({ window: { kind: 'run' } })],
    ['bar: held still, a channel laid over', bar({ window: { kind: 'fixed', fromMs, toMs: nowMs }, beside: 'o2' })],
    ['bar: loading', bar({ loading: true })],
    ['bar: error', bar({ error: 'The station did not answer within 10 s.' })],
  ],
}
