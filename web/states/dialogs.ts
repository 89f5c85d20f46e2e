import type { AlarmStanding, LogbookEntry } from '../../protocols/live/messages.ts'
import { RecentReadings } from '../recent-readings.ts'
import { type AlarmAct, alarmSigning } from '../shell/alarm-signings.ts'
import { exclusionSigning } from '../shell/amendment-signings.ts'
import { correctionSigning, noteSigning } from '../shell/note-signings.ts'
import { cancelRunSigning, endRunSigning, startRunSigning } from '../shell/run-signings.ts'
import { type Signed, SignedDialog } from '../shell/signed-dialog.ts'
import { tellingSigning } from '../shell/telling-signing.ts'
import { transferSigning } from '../shell/transfer-signing.ts'
import type { Station } from '../store.ts'
import { AverageDetails } from '../views/averages/average-details.ts'
import { checkSigning } from '../views/logbook/check-signing.ts'
import { withdrawalSigning } from '../views/logbook/withdrawal-signing.ts'
import { StretchDialog } from '../views/watch/stretch-dialog.ts'
import { TrendTable } from '../views/watch/trend-table.ts'
import { alarm, minute, nowMs, row, station } from './invented.ts'
import { laidOpen } from './laid-open.ts'
import type { Group } from './shown.ts'

const known = station({
  readings: [
    {
      stream: 'main',
      atMs: nowMs,
      phase: 'measure',
      plant: 'running',
      values: {
        o2: { asRead: 4.31, corrected: 4.31, referred: null, flag: 0 },
        nox: { asRead: 92, corrected: 91, referred: 186.2, flag: 0 },
      },
    },
  ],
})
const betweenRuns: Station = { ...known, run: { ...known.run, state: 'ended', endMs: nowMs - minute } }
const nothing = () => {}
const offered = { fromMs: nowMs - 25 * minute, toMs: nowMs - 12 * minute }
const told = {
  ...offered,
  id: 'x1',
  stream: null,
  channel: null,
  reason: 'probe out of the duct',
  by: 'M. Example',
  toldMs: nowMs - 10 * minute,
  withdrawn: null,
}
const entry: LogbookEntry = {
  id: 'n1',
  atMs: nowMs - 40 * minute,
  kind: 'note',
  stream: null,
  text: 'Load raised to 80 %',
  by: 'M. Example',
  savedMs: null,
  severity: 'plain',
}

const signed = (asked: Signed, fill: (dialog: SignedDialog) => unknown = nothing) =>
  laidOpen(new SignedDialog(), async (dialog) => {
    await dialog.open(asked)
    await fill(dialog)
  })
const over = (act: AlarmAct, more: Partial<AlarmStanding> = {}) => signed(alarmSigning(known, alarm(more), act))

export const dialogStates: Group = {
  name: 'Dialogs',
  shown: [
    ['acknowledge: what can hurt, the steps, ready-made notes', over('acknowledge')],
    ['shelve', over('shelve')],
    ['bring back', over('unshelve', { state: 'shelved', by: 'M. Example', untilMs: nowMs + 25 * minute })],
    ['reset a latch', over('reset', { state: 'latched-acknowledged', active: false, by: 'M. Example' })],
    ['note', signed(noteSigning(known, nowMs))],
    ['a ready-made entry, with what can hurt', signed(noteSigning(known, nowMs, 'Trap emptied'))],
    ['correct a note', signed(correctionSigning(known, nowMs, entry))],
    [
      'something is missing',
      signed(noteSigning(known, nowMs), (dialog) => {
        dialog.errors = ['Needed: What happened', 'Needed: Name']
      }),
    ],
    [
      'being sent',
      signed(noteSigning(known, nowMs), (dialog) => {
        dialog.busy = true
      }),
    ],
    ['exclude a stretch', signed(exclusionSigning(known, null, offered, nowMs, nothing))],
    ['take an exclusion back', signed(withdrawalSigning(known, null, told, nothing))],
    ['check with a gas', signed(checkSigning(known, null, nowMs, nothing))],
    ['transfer check', signed(transferSigning({ recent: new RecentReadings() }, known, nowMs))],
    ['tell phase or plant', signed(tellingSigning(known, nowMs))],
    ['start a run', signed(startRunSigning(betweenRuns, nowMs))],
    ['plan the next run', signed(startRunSigning(known, nowMs))],
    [
      'plan the next run, at a time and after counted minutes',
      signed(startRunSigning(known, nowMs), (dialog) => {
        for (const [name, value] of [
          ['when', 'at'],
          ['end', 'counted'],
        ])
          for (const select of dialog.renderRoot.querySelectorAll<HTMLSelectElement>(`select[name=${name}]`))
            select.value = value ?? ''
      }),
    ],
    ['end a run', signed(endRunSigning(known))],
    ['cancel a planned run', signed(cancelRunSigning())],
    [
      'choose a stretch of the trends',
      laidOpen(new StretchDialog(), (dialog) => {
        dialog.zone = known.clock
      }),
    ],
    [
      'an average in words',
      laidOpen(new AverageDetails(), (dialog) => {
        dialog.station = known
        dialog.row = row({ state: 'final', valid: false, reasons: ['coverage_low', 'gap'], coverage: 0.41 })
      }),
    ],
    [
      'a chart as a table',
      laidOpen(new TrendTable(), (table) => {
        const fromMs = nowMs - 10 * minute
        table.of = {
          name: 'NOₓ',
          unit: 'mg/m³ at 3 % O₂, dry',
          decimals: 0,
          zone: known.clock,
          fromMs,
          toMs: nowMs,
          parts: [],
          steps: [],
          values: (stepMs) =>
            Array.from({ length: Math.floor((nowMs - fromMs) / stepMs) }, (_, place) =>
              place === 3 ? null : { low: 180 + place, high: 192 + place },
            ),
        }
      }),
    ],
  ],
}
