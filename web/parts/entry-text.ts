import type { Happening } from '../../protocols/live/happening.ts'
import type { ChannelInfo, LimitInfo, LogbookEntry } from '../../protocols/live/messages.ts'
import { alarmText } from '../../protocols/words/alarm-texts.ts'
import { averageText, durationText } from '../format/durations.ts'
import { numberText, significantText } from '../format/numbers.ts'
import { dayTimeText, timeText, type Zone } from '../format/times.ts'
import { unitName } from '../format/units.ts'
import { alarmHeadline } from '../shell/alarm-order.ts'
import type { Station } from '../store.ts'
import { amendmentWords, checkKindWords } from '../texts/amendments.ts'
import {
  alarmInputWords,
  alarmPartWords,
  clockWords,
  instrumentWords,
  linkHappeningWords,
  runChangeWords,
  runWordsByReason,
  toldWords,
  zeroWords,
} from '../texts/happenings.ts'
import { phaseWords, plantWords } from '../texts.ts'

/** What of a station names things in an entry. */
export type Naming = Pick<Station, 'channels' | 'limits' | 'streams' | 'clock'>

/** An entry of the logbook in the words of the screen; what a person wrote stays as it is. */
export function entryText(entry: LogbookEntry, naming: Naming): string {
  const { happened, stream, text } = entry
  const said = happened ? happeningText(happened, naming) : entry.kind === 'note' ? text : sentence(text)
  // Where there are several instruments an entry says of which it tells.
  return entry.kind !== 'note' && stream !== null && naming.streams.length > 1 ? `${stream}: ${said}` : said
}

const sentence = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1)
const joined = (parts: readonly string[], by: string): string => parts.filter(Boolean).join(by)

function happeningText(happened: Happening, naming: Naming): string {
  switch (happened.what) {
    case 'run':
      return runText(happened)
    case 'clock':
      return clockText(happened)
    case 'link':
      return joined([linkHappeningWords[happened.state], happened.detail], ': ')
    case 'phase-mark':
      return happened.phase === null ? toldWords.phaseMarkBack : toldWords.phaseMark(phaseWords[happened.phase])
    case 'plant':
      return toldWords.plant(plantWords[happened.state])
    case 'exclusion':
      return exclusionText(happened, naming)
    case 'check':
      return checkText(happened, naming.channels)
    case 'withdrawal':
      return `${toldWords.withdrawal[happened.of]}: ${happened.reason}`
    case 'alarm':
      return alarmEntryText(happened, naming)
    case 'fault': {
      const { title } = alarmText({ class: 'health', cause: happened.fault })
      return happened.isOver ? instrumentWords.faultOver(title) : instrumentWords.fault(title)
    }
    case 'gap':
      return instrumentWords.gap(durationText(happened.seconds * 1000))
    case 'zero':
      return zeroText(happened, naming.channels)
  }
}

type Of<What extends Happening['what']> = Extract<Happening, { what: What }>

const runText = ({ change, reason }: Of<'run'>): string =>
  runWordsByReason[change][reason] ??
  `${runChangeWords[change]}${reason === '' ? '' : ` (${reason.replaceAll('-', ' ')})`}`

function clockText({ change, byMs, speed }: Of<'clock'>): string {
  if (change === 'speed') return speed === 1 ? clockWords.realSpeed : clockWords.speed(significantText(speed))
  const length = durationText(Math.abs(byMs))
  if (change === 'sleep') return clockWords.slept(length)
  return byMs < 0 ? clockWords.back(length) : clockWords.forward(length)
}

function exclusionText({ fromMs, toMs, channel, reason }: Of<'exclusion'>, { channels, clock }: Naming): string {
  const what = channel === null ? amendmentWords.allChannels : nameOf(channel, channels)
  const stretch = stretchText(fromMs, toMs, clock)
  return `${toldWords.exclusion}: ${what}, ${stretch}. ${reason}`
}
const stretchText = (fromMs: number, toMs: number, zone: Zone): string =>
  `${dayTimeText(fromMs, zone)} to ${timeText(toMs, zone)} (${durationText(toMs - fromMs)})`

function checkText(
  { kind, channel, expected, response, direct, gas }: Of<'check'>,
  channels: readonly ChannelInfo[],
): string {
  const unit = unitOf(channel, channels)
  const shown = toldWords.shownFor(`${significantText(response)}${unit}`, `${significantText(expected)}${unit}`)
  const atAnalyser = direct === null ? '' : toldWords.direct(`${significantText(direct)}${unit}`)
  const name = `${checkKindWords[kind]} of ${nameOf(channel, channels)}`
  return `${name}: ${joined([shown, atAnalyser], ', ')}. ${toldWords.gas(gas)}`
}

function alarmEntryText(happened: Of<'alarm'>, { channels, limits, clock }: Naming): string {
  const { input, untilMs, note, limitId } = happened
  const limit = limits.find(({ id }) => id === limitId)
  const until = input === 'shelve' && untilMs !== null ? alarmPartWords.until(timeText(untilMs, clock)) : ''
  const advice = happened.class === 'advice' ? `${alarmPartWords.advice}: ` : ''
  const name = joined([alarmHeadline(happened, channels), limit ? limitText(limit) : ''], ', ')
  const change = joined([alarmInputWords[input], until], ' ')
  return joined([`${advice}${name}: ${change}`, note ?? ''], '. ')
}
function limitText({ of, average }: LimitInfo): string {
  if (of === 'reading' || average === null) return alarmPartWords.reading
  return of === 'block' ? alarmPartWords.block(averageText(average)) : alarmPartWords.rolling(averageText(average))
}

function zeroText(
  { channel, mean, standardDeviation, count, inUse, clean, used }: Of<'zero'>,
  channels: readonly ChannelInfo[],
): string {
  // Zeros are small: one digit more than the channel's readings have.
  const decimals = (channels.find(({ id }) => id === channel)?.decimals ?? 2) + 1
  const spread = standardDeviation === null ? '' : ` ± ${numberText(standardDeviation, decimals)}`
  const parts = [
    `${zeroWords.taken(nameOf(channel, channels), `${numberText(mean, decimals)}${spread}${unitOf(channel, channels)}`)} ${zeroWords.readings(count)}`,
    inUse === null ? '' : zeroWords.before(numberText(inUse, decimals)),
    clean ? '' : zeroWords.unclean,
    used ? zeroWords.used : zeroWords.noted,
  ]
  return joined(parts, ', ')
}

const nameOf = (id: string, channels: readonly ChannelInfo[]): string =>
  channels.find((channel) => channel.id === id)?.name ?? id
const unitOf = (id: string, channels: readonly ChannelInfo[]): string => {
  const found = channels.find((channel) => channel.id === id)
  return found ? ` ${unitName(found.unit)}` : ''
}
