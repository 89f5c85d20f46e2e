import { html } from 'lit'
import type { LimitInfo, Outlook } from '../../protocols/live/messages.ts'
import { type AverageRow, blockReasons, detections, invalidatingReasons } from '../../protocols/words/blocks.ts'
import { verdicts } from '../../protocols/words/verdicts.ts'
import { detectionWords, reasonWords } from '../texts/averages.ts'
import { headingWords, validityWords } from '../texts/running-block.ts'
import { usualOrder } from '../views/averages/row-order.ts'
import { halfHour, minute, nowMs, noxLimit, outlook, row, station } from './invented.ts'
import type { Group } from './shown.ts'
import '../parts/coverage-bar.ts'
import '../views/averages/averages-table.ts'
import '../views/watch/block-panel.ts'
import '../views/watch/run-panel.ts'

const panel = (
  outlooks: readonly Outlook[],
  openBlocks: readonly AverageRow[] = [row()],
  heldMs: number | null = null,
  limits: readonly LimitInfo[] = [noxLimit],
) =>
  html`<block-panel .station=${station({ outlooks: [...outlooks], openBlocks: [...openBlocks], limits: [...limits] })} average=${halfHour} .nowMs=${nowMs} .zone=${station().clock} .heldMs=${heldMs}></block-panel>`

const ended = (more: Partial<AverageRow>) =>
  row({
    startMs: nowMs - 60 * minute,
    endMs: nowMs - 30 * minute,
    countedMs: 27 * minute,
    coverage: 0.9,
    valid: true,
    state: 'final',
    ...more,
  })
const table = (rows: readonly AverageRow[]) =>
  html`<averages-table .rows=${rows} .channels=${station().channels} .limits=${[noxLimit]} .results=${station().results} .zone=${station().clock} .order=${usualOrder}></averages-table>`
const judged = (verdict: (typeof verdicts)[number], complies: boolean | null) =>
  table([ended({ verdicts: [{ limit: noxLimit.id, verdict, complies, result: 186.2 }] })])

const bar = (counted: number, elapsed: number, needed: number | null) =>
  html`<coverage-bar .counted=${counted} .elapsed=${elapsed} .needed=${needed} label=${`${counted * 100} % counted`}></coverage-bar>`

export const blockStates: Group = {
  name: 'Running block',
  shown: [
    ...(Object.keys(headingWords) as Outlook['heading'][]).map(
      (heading) =>
        [
          `heading: ${headingWords[heading]}`,
          panel([
            heading === 'cannot-tell'
              ? outlook({ heading, likelyLow: null, likelyHigh: null })
              : outlook({
                  heading,
                  reachesLimitMs: heading === 'below' ? null : nowMs + 9 * minute,
                  likelyHigh: heading === 'below' ? 193 : 221,
                  likelyLow: heading === 'above' ? 204 : 178,
                }),
          ]),
        ] as const,
    ),
    ...(Object.keys(validityWords) as Outlook['validity'][]).map(
      (validity) => [`validity: ${validityWords[validity]}`, panel([outlook({ validity })])] as const,
    ),
    ['the first minute: no heading yet', panel([])],
    ['no limit is set', panel([], undefined, null, [])],
    [
      'nothing counted yet',
      panel(
        [outlook({ soFar: null, likelyLow: null, likelyHigh: null, heading: 'cannot-tell', countedMs: 0 })],
        [row({ mean: null, count: 0, countedMs: 0, coverage: 0, uncertainty: null })],
      ),
    ],
    ['empty: no block is running', panel([], [])],
    ['stale: nothing newer is known', panel([outlook()], undefined, nowMs - 45_000)],
    ['coverage: none', bar(0, 0.4, 2 / 3)],
    ['coverage: on course', bar(0.4, 0.5, 2 / 3)],
    ['coverage: met', bar(0.8, 1, 2 / 3)],
    ['coverage: a rule without a place', bar(0.8, 1, null)],
  ],
}

export const averageStates: Group = {
  name: 'Averages',
  isWide: true,
  shown: [
    ...verdicts.map((verdict) => [`verdict: ${verdict}`, judged(verdict, verdict !== 'above')] as const),
    ['verdict: cannot be decided', judged('undecided', null)],
    ['open', table([row()])],
    ['provisional', table([ended({ state: 'provisional' })])],
    ...detections.map((detection) => [detectionWords[detection], table([ended({ detection })])] as const),
    [
      'nothing counted',
      table([
        ended({
          mean: null,
          count: 0,
          countedMs: 0,
          coverage: 0,
          valid: false,
          uncertainty: null,
          reasons: ['nothing_counted'],
        }),
      ]),
    ],
    [
      'plant not running',
      table([ended({ mean: null, coverage: null, valid: false, uncertainty: null, reasons: ['not_operating'] })]),
    ],
    ...blockReasons.map(
      (reason) =>
        [
          `${invalidatingReasons.has(reason) ? 'invalid' : 'remark'}: ${reasonWords[reason]}`,
          table([ended({ reasons: [reason], valid: !invalidatingReasons.has(reason) })]),
        ] as const,
    ),
  ],
}
