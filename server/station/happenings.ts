import type { Happening } from '../../protocols/live/happening.ts'
import type { AlarmTransition } from '../../protocols/words/alarms.ts'
import { instrumentFaults } from '../../protocols/words/phases.ts'
import type { RecordedEvent } from '../engine/events.ts'
import type { NoticeOutput, ZeroOutput } from '../engine/outputs.ts'
import { isCheckId } from './told-check.ts'

/** An input of the engine in parts; null for lines, notes, and what an alarm's own entry says. */
export function eventHappening(event: RecordedEvent): Happening | null {
  switch (event.kind) {
    case 'line':
      return null
    case 'link':
      return { what: 'link', state: event.state, detail: event.detail }
    case 'clock':
      return { what: 'clock', change: event.change, byMs: event.byMs, speed: event.speed }
    case 'run':
      return { what: 'run', change: event.change, reason: event.reason }
    case 'operator':
      return operatorHappening(event)
  }
}

function operatorHappening({ action }: Extract<RecordedEvent, { kind: 'operator' }>): Happening | null {
  switch (action.do) {
    case 'mark-phase':
      return { what: 'phase-mark', phase: action.phase }
    case 'plant-state':
      return { what: 'plant', state: action.state }
    case 'exclude': {
      const { fromMs, toMs, channel, reason } = action.exclusion
      return { what: 'exclusion', fromMs, toMs, channel, reason }
    }
    case 'check': {
      const { kind, channel, expected, response, direct, gas } = action.check
      return { what: 'check', kind, channel, expected, response, direct, gas }
    }
    case 'withdraw':
      return { what: 'withdrawal', of: isCheckId(action.id) ? 'check' : 'exclusion', reason: action.reason }
    case 'note':
    case 'acknowledge':
    case 'shelve':
    case 'unshelve':
    case 'reset':
      return null
  }
}

export const alarmHappening = (transition: AlarmTransition): Happening => {
  const { alarm, cause, channel, input, value, limit, unit, note, untilMs } = transition
  const isOfLimit = cause === 'limit' || transition.class === 'advice'
  const limitId = isOfLimit ? alarm.replace(/^[a-z]+:/, '') : null
  return { what: 'alarm', limitId, class: transition.class, cause, channel, input, value, limit, unit, note, untilMs }
}

/** A notice in parts, as far as its code and its words tell them; null where the words are all there is. */
export function noticeHappening({ code, text }: NoticeOutput): Happening | null {
  if (code === 'gap') {
    const seconds = /(\d+) s$/.exec(text)?.[1]
    return seconds === undefined ? null : { what: 'gap', seconds: Number(seconds) }
  }
  if (code !== 'fault_told' && code !== 'fault_cleared') return null
  const fault = instrumentFaults.find((one) => text.endsWith(`: ${one}`))
  return fault === undefined ? null : { what: 'fault', fault, isOver: code === 'fault_cleared' }
}

export function zeroHappening({
  channel,
  mean,
  standardDeviation,
  count,
  inUse,
  clean,
  used,
}: Omit<ZeroOutput, 'kind' | 'atMs' | 'middleMs'>): Happening {
  return { what: 'zero', channel, mean, standardDeviation, count, inUse, clean, used }
}
