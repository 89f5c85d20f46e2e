import type { Happening } from '../../protocols/live/happening.ts'
import type { LogbookEntry } from '../../protocols/live/messages.ts'
import type { AlarmTransition } from '../../protocols/words/alarms.ts'
import type { Check } from '../engine/amendments.ts'
import type { LinkState, RecordedEvent } from '../engine/events.ts'
import type { EngineOutput, NoticeOutput } from '../engine/outputs.ts'
import { alarmHappening, eventHappening, noticeHappening, zeroHappening } from './happenings.ts'
import { zeroText } from './zero-text.ts'

/** The same happening has the same id, told live or read from the recording: what it says and when. */
const identified = (entry: Omit<LogbookEntry, 'id'>, happened: Happening | null): LogbookEntry => ({
  id: `${entry.atMs} ${entry.kind} ${entry.stream ?? ''} ${entry.text}`,
  ...entry,
  ...(happened === null ? {} : { happened }),
})

const inputWords: Readonly<Record<AlarmTransition['input'], string>> = {
  enter: 'raised',
  leave: 'gone',
  acknowledge: 'acknowledged',
  shelve: 'shelved',
  unshelve: 'taken off the shelf',
  'shelf-expired': 'back from the shelf',
  suppress: 'suppressed while not measuring',
  release: 'looked at again',
  reset: 'reset',
}

/** An alarm in words: `limit:co-30m` → `CO, limit co-30m`. */
function alarmName({ alarm, cause, stream, channel }: AlarmTransition): string {
  const what = cause === 'limit' ? `limit ${alarm.replace(/^[a-z]+:/, '')}` : cause.replaceAll('-', ' ')
  return [what, channel ?? stream].filter(Boolean).join(', ')
}

type Severity = LogbookEntry['severity']

export const alarmSeverity = ({ input, class: of }: Pick<AlarmTransition, 'input' | 'class'>): Severity =>
  input === 'enter' && of !== 'advice' ? 'abnormal' : 'notable'
export const noticeSeverity = (code: NoticeOutput['code']): Severity =>
  code === 'fault_told' || code === 'gap' ? 'abnormal' : 'notable'

export function alarmEntry(transition: AlarmTransition): LogbookEntry {
  const value =
    transition.value !== null && transition.limit !== null
      ? ` (${Number(transition.value.toPrecision(5))} against ${transition.limit} ${transition.unit ?? ''})`.trimEnd()
      : ''
  const advice = transition.class === 'advice' ? 'advice: ' : ''
  const entry: Omit<LogbookEntry, 'id'> = {
    atMs: transition.atMs,
    kind: 'alarm',
    stream: transition.stream,
    by: transition.by,
    savedMs: null,
    text: `${advice}${alarmName(transition)}: ${inputWords[transition.input]}${value}${transition.note ? `. ${transition.note}` : ''}`,
    severity: alarmSeverity(transition),
  }
  return identified(entry, alarmHappening(transition))
}

const linkWords = {
  open: 'link open',
  lost: 'link lost',
  silent: 'link silent: closed, to be opened again',
  refused: 'link refused',
  ended: 'source at its end',
} as const
const abnormalLinks: ReadonlySet<LinkState> = new Set<LinkState>(['lost', 'silent', 'refused'])
export const linkSeverity = (state: LinkState): Severity => (abnormalLinks.has(state) ? 'abnormal' : 'plain')

/** What an input of the engine says in the logbook; null for lines and for what an alarm's own entry says. */
export function eventEntry(event: RecordedEvent): LogbookEntry | null {
  const entry = plainEntry(event)
  return entry && identified(entry, eventHappening(event))
}

function plainEntry(event: RecordedEvent): Omit<LogbookEntry, 'id'> | null {
  const entry = { atMs: event.atMs, stream: null, by: null, savedMs: null, severity: 'plain' as const }
  switch (event.kind) {
    case 'line':
      return null
    case 'link':
      return {
        ...entry,
        kind: 'link',
        stream: event.stream,
        text: `${linkWords[event.state]}${event.detail ? `: ${event.detail}` : ''}`,
        severity: linkSeverity(event.state),
      }
    case 'clock':
      return {
        ...entry,
        kind: 'clock',
        severity: 'notable',
        text:
          event.change === 'speed'
            ? event.speed === 1
              ? 'the station’s clock runs at real speed'
              : `the station’s clock runs ${event.speed} times as fast as real time`
            : `the computer ${event.change === 'step' ? `had its clock set by ${event.byMs / 1000} s` : `slept for ${event.byMs / 1000} s`}`,
      }
    case 'run':
      return {
        ...entry,
        kind: 'run',
        by: event.by,
        severity: 'notable',
        text: `run: ${event.change}${event.reason ? ` (${event.reason.replaceAll('-', ' ')})` : ''}`,
      }
    case 'operator': {
      const { action, by } = event
      if (action.do === 'note')
        return {
          ...entry,
          kind: 'note',
          by,
          atMs: action.pressedMs,
          savedMs: event.atMs,
          text: action.text,
          ...(action.corrects === undefined ? {} : { corrects: action.corrects }),
        }
      if (action.do === 'mark-phase')
        return {
          ...entry,
          kind: 'operator',
          by,
          stream: action.stream,
          severity: 'notable',
          text: action.phase ? `phase marked: ${action.phase}` : 'phase mark taken back',
        }
      if (action.do === 'plant-state')
        return { ...entry, kind: 'operator', by, severity: 'notable', text: `plant: ${action.state}` }
      if (action.do === 'check')
        return {
          ...entry,
          kind: 'operator',
          by,
          atMs: action.check.performedMs,
          savedMs: event.atMs,
          severity: 'notable',
          text: checkText(action.check),
        }
      if (action.do === 'exclude') {
        const { id, fromMs, toMs, stream, channel, reason } = action.exclusion
        const what = channel ?? (stream === null ? 'all channels' : `all channels of ${stream}`)
        const stretch = `${new Date(fromMs).toISOString()} to ${new Date(toMs).toISOString()}`
        return {
          ...entry,
          kind: 'operator',
          by,
          stream,
          severity: 'notable',
          text: `excluded from the averages: ${what}, ${stretch} (${id}). ${reason}`,
        }
      }
      if (action.do === 'withdraw')
        return {
          ...entry,
          kind: 'operator',
          by,
          severity: 'notable',
          text: `withdrawn: ${action.id}. ${action.reason}`,
        }
      return null
    }
  }
}

/** `span check of co: 391 shown for 400 (gas: cylinder 7)`; numbers in the channel's unit. */
const checkText = ({ kind, channel, expected, response, direct, gas }: Check): string =>
  `${kind} check of ${channel}: ${response} shown for ${expected}${direct === null ? '' : `, ${direct} with the gas at the analyser`} (gas: ${gas})`

/** What an output of the engine says in the logbook; null for numbers. */
export function outputEntry(output: EngineOutput): LogbookEntry | null {
  if (output.kind === 'alarm') return alarmEntry(output.transition)
  if (output.kind === 'notice')
    return identified(
      {
        atMs: output.atMs,
        kind: 'event',
        stream: output.stream,
        text: output.text,
        by: null,
        savedMs: null,
        severity: noticeSeverity(output.code),
      },
      noticeHappening(output),
    )
  if (output.kind === 'zero')
    return identified(
      {
        atMs: output.atMs,
        kind: 'event',
        stream: null,
        by: null,
        savedMs: null,
        severity: 'plain',
        text: zeroText(output),
      },
      zeroHappening(output),
    )
  return null
}
