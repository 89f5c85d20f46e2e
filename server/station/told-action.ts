import type { ActionRequest } from '../../protocols/live/requests.ts'
import type { OperatorAction } from '../engine/events.ts'
import type { StationFile } from '../engine/settings/station-file.ts'
import type { Refused } from '../http/station-face.ts'
import type { RecordedRun } from './recorded-run.ts'
import { isToldTime, toldCheck, toldTimeRule } from './told-check.ts'

export type ToldAction = { readonly ok: true; readonly action: OperatorAction } | Refused

/** What would be taken down without any effect is refused, so that nobody relies on it. */
export const refused = (error: string): Refused => ({
  ok: false,
  status: 409,
  errors: [error],
})

/** What an operator's request becomes in the recording, at station time `atMs`. */
export function toldAction(request: ActionRequest, station: StationFile, run: RecordedRun, atMs: number): ToldAction {
  switch (request.do) {
    case 'acknowledge':
    case 'unshelve':
    case 'reset':
      if (!run.hasAlarm(request.alarm))
        return { ok: false, status: 404, errors: [`there is no standing alarm “${request.alarm}”`] }
      return told({ do: request.do, alarm: request.alarm, note: request.note })
    case 'shelve':
      return told({
        do: 'shelve',
        alarm: request.alarm,
        // Minutes may have a fraction, times in a recording have none.
        untilMs: atMs + Math.ceil(request.minutes * 60_000),
        note: request.note,
      })
    case 'note':
      if (!isToldTime(Math.round(request.pressedMs)))
        return { ok: false, status: 400, errors: [`pressedMs: ${toldTimeRule}`] }
      return told({
        do: 'note',
        text: request.text,
        pressedMs: Math.min(Math.round(request.pressedMs), atMs),
        ...(request.corrects === undefined ? {} : { corrects: request.corrects }),
      })
    case 'mark-phase':
      if (!run.view.operatorTells.phase)
        return refused('the station file takes no phase from the operator: add "operator" to phases.from')
      if (request.stream !== null && !station.streams.some(({ id }) => id === request.stream))
        return {
          ok: false,
          status: 404,
          errors: [
            `stream: there is no “${request.stream}”; there are ${station.streams.map(({ id }) => id).join(', ')}, or null for all`,
          ],
        }
      return told({ do: 'mark-phase', stream: request.stream, phase: request.phase })
    case 'plant-state':
      if (!run.view.operatorTells.plant)
        return refused('the station file takes the plant state from elsewhere: set plantState.from to "operator"')
      return told({ do: 'plant-state', state: request.state })
    case 'check': {
      const checked = toldCheck(station, request, atMs, run.standby, run.nextCheckNumber(atMs))
      return checked.ok ? told({ do: 'check', check: checked.check }) : checked
    }
  }
}

const told = (action: OperatorAction): ToldAction => ({ ok: true, action })
