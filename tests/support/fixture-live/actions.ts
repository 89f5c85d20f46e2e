import type { AlarmStanding, LogbookEntry } from '../../../protocols/live/messages.ts'
import type { ActionRequest } from '../../../protocols/live/requests.ts'
import type { AlarmInput } from '../../../protocols/words/alarms.ts'
import type { Answer } from './routes.ts'

export interface ActionParts {
  now: () => number
  log: (entry: Omit<LogbookEntry, 'id' | 'stream'>) => void
  setAlarm: (standing: AlarmStanding, input: AlarmInput) => void
  alarms: () => readonly AlarmStanding[]
}
const done: Answer = { ok: true, errors: [] }

/** What the invented station does about a request: enough of the real one's answers for a page to go on. */
export function actOn(request: ActionRequest, { now, log, setAlarm, alarms }: ActionParts): Answer {
  const entry = { atMs: now(), by: request.by, savedMs: null, severity: 'plain' } as const
  switch (request.do) {
    case 'note': {
      const { text, pressedMs, corrects } = request
      log({ ...entry, atMs: pressedMs, kind: 'note', text, savedMs: now(), ...(corrects ? { corrects } : {}) })
      return done
    }
    case 'mark-phase':
      log({ ...entry, kind: 'operator', text: `phase marked: ${request.phase}` })
      return done
    case 'plant-state':
      log({ ...entry, kind: 'operator', text: `plant: ${request.state}` })
      return done
    default:
      break
  }
  if (!('alarm' in request)) return done
  const found = alarms().find((standing) => standing.alarm === request.alarm)
  if (!found) return { ok: false, errors: [`no alarm ${request.alarm} stands`] }
  const next = {
    acknowledge: found.active ? 'acknowledged' : found.state === 'latched-raised' ? 'latched-acknowledged' : 'normal',
    shelve: 'shelved',
    unshelve: found.active ? 'raised' : 'normal',
    reset: 'normal',
  } as const
  const untilMs = request.do === 'shelve' ? now() + request.minutes * 60_000 : null
  setAlarm(
    { ...found, state: next[request.do], sinceMs: now(), by: request.by, note: request.note, untilMs },
    request.do,
  )
  log({ ...entry, kind: 'alarm', text: `${found.cause}: ${request.do}. ${request.note}` })
  return done
}
