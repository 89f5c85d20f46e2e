import type { LogbookEntry } from '../../protocols/live/messages.ts'
import { alarmText } from '../../protocols/words/alarm-texts.ts'
import type { AlarmTransition } from '../../protocols/words/alarms.ts'
import { type Unit, unitText } from '../../protocols/words/units.ts'
import type { Check } from '../engine/amendments.ts'
import type { RecordedEvent } from '../engine/events.ts'
import type { EngineOutput } from '../engine/outputs.ts'
import type { ChannelWords } from './channel-words.ts'

/** Where no station file tells what channels are called, their ids stand. */
const noWords: ChannelWords = new Map()
const unitName = (unit: string): string => unitText[unit as Unit] ?? unit

/** The same happening has the same id, told live or read from the recording: what it says and when. */
const identified = (entry: Omit<LogbookEntry, 'id'>): LogbookEntry => ({
  id: `${entry.atMs} ${entry.kind} ${entry.stream ?? ''} ${entry.text}`,
  ...entry,
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

/** An alarm as the screens call it, a limit with its id: `NOₓ: Limit passed (nox-30m)`; whose instrument it is stands beside it. */
function alarmName(transition: AlarmTransition, words: ChannelWords): string {
  const { alarm, channel } = transition
  const limit =
    transition.cause === 'limit' || transition.class === 'advice' ? ` (${alarm.replace(/^[a-z]+:/, '')})` : ''
  const of = channel === null ? '' : `${words.get(channel)?.name ?? channel}: `
  return `${of}${alarmText(transition).title}${limit}`
}

export function alarmEntry(transition: AlarmTransition, words: ChannelWords = noWords): LogbookEntry {
  const value =
    transition.value !== null && transition.limit !== null
      ? ` (${Number(transition.value.toPrecision(4))} against ${transition.limit}${transition.unit === null ? '' : ` ${unitName(transition.unit)}`})`
      : ''
  const advice = transition.class === 'advice' ? 'advice: ' : ''
  return identified({
    atMs: transition.atMs,
    kind: 'alarm',
    stream: transition.stream,
    by: transition.by,
    savedMs: null,
    text: `${advice}${alarmName(transition, words)}: ${inputWords[transition.input]}${value}${transition.note ? `. ${transition.note}` : ''}`,
    severity: transition.input === 'enter' && transition.class !== 'advice' ? 'abnormal' : 'notable',
  })
}

const linkWords = {
  open: 'link open',
  lost: 'link lost',
  silent: 'link silent: closed, to be opened again',
  refused: 'link refused',
  ended: 'source at its end',
} as const
const abnormalLinks: ReadonlySet<string> = new Set(['lost', 'silent', 'refused'])

/** What an input of the engine says in the logbook; null for lines and for what an alarm's own entry says. */
export function eventEntry(event: RecordedEvent): LogbookEntry | null {
  const entry = plainEntry(event)
  return entry && identified(entry)
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
        severity: abnormalLinks.has(event.state) ? 'abnormal' : 'plain',
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

/** Beyond this no analyser of flue gas tells anything apart. */
const mostDecimals = 4

/** `zero of CO: 0.30 ± 0.62 ppm from 140 readings, before 0.39, subtracted from here on`: as exact as its spread allows, two digits of it. */
function zeroText(zero: Extract<EngineOutput, { kind: 'zero' }>, words: ChannelWords): string {
  const { mean, standardDeviation: spread, inUse } = zero
  const { name, unit } = words.get(zero.channel) ?? { name: zero.channel, unit: '' }
  const place = spread ? Math.min(mostDecimals, Math.max(0, 1 - Math.floor(Math.log10(spread)))) : mostDecimals
  // −0 is what rounding leaves of a small negative number.
  const figure = (value: number): string => (Number(value.toFixed(place)) + 0).toFixed(place)
  const spreadText = spread === null ? '' : ` ± ${figure(spread)}`
  return [
    `zero of ${name}: ${figure(mean)}${spreadText}${unit === '' ? '' : ` ${unitName(unit)}`} from ${zero.count} readings`,
    ...(inUse === null ? [] : [`before ${figure(inUse)}`]),
    ...(zero.clean ? [] : ['of air that was not clean']),
    zero.used ? 'subtracted from here on' : 'noted, not subtracted',
  ].join(', ')
}

/** What an output of the engine says in the logbook; null for numbers. */
export function outputEntry(output: EngineOutput, words: ChannelWords = noWords): LogbookEntry | null {
  if (output.kind === 'alarm') return alarmEntry(output.transition, words)
  if (output.kind === 'notice')
    return identified({
      atMs: output.atMs,
      kind: 'event',
      stream: output.stream,
      text: output.text,
      by: null,
      savedMs: null,
      severity: output.code === 'fault_told' || output.code === 'gap' ? 'abnormal' : 'notable',
    })
  if (output.kind === 'zero')
    return identified({
      atMs: output.atMs,
      kind: 'event',
      stream: null,
      by: null,
      savedMs: null,
      severity: 'plain',
      text: zeroText(output, words),
    })
  return null
}
