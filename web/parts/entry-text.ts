import type { Happening } from '../../protocols/live/happening.ts'
import type { ChannelInfo, LimitInfo, LogbookEntry } from '../../protocols/live/messages.ts'
import { alarmText } from '../../protocols/words/alarm-texts.ts'
import { channelName, checkShownText, stretchText, unitAfter } from '../format/amendment-parts.ts'
import { averageText, durationText } from '../format/durations.ts'
import { numberText, significantText } from '../format/numbers.ts'
import { timeText } from '../format/times.ts'
import { alarmHeadline } from '../shell/alarm-order.ts'
import type { Station } from '../store.ts'
import { allChannels, checkWords } from '../texts/amendments.ts'
import * as happeningTexts from '../texts/happenings.ts'
import { phaseWords, plantWords } from '../texts/phases.ts'

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
      return linkText(happened)
    case 'phase-mark':
      return happened.phase === null
        ? happeningTexts.toldPhaseTakenBack
        : happeningTexts.toldPhase(phaseWords[happened.phase])
    case 'plant':
      return happeningTexts.toldPlant(plantWords[happened.state])
    case 'exclusion':
      return exclusionText(happened, naming)
    case 'check':
      return `${checkWords[happened.kind](channelName(happened.channel, naming.channels))}: ${checkShownText(happened, naming.channels)}`
    case 'withdrawal':
      return `${happeningTexts.withdrawn[happened.of]}: ${happened.reason}`
    case 'alarm':
      return alarmEntryText(happened, naming)
    case 'fault': {
      const { title } = alarmText({ class: 'health', cause: happened.fault })
      return happened.isOver ? happeningTexts.faultOver(title) : happeningTexts.fault(title)
    }
    case 'gap':
      return happeningTexts.gap(durationText(happened.seconds * 1000))
    case 'zero':
      return zeroText(happened, naming.channels)
  }
}

type Of<What extends Happening['what']> = Extract<Happening, { what: What }>

const runText = ({ change, reason }: Of<'run'>): string =>
  happeningTexts.runWordsByReason[change][reason] ??
  `${happeningTexts.runChangeWords[change]}${reason === '' ? '' : ` (${reason.replaceAll('-', ' ')})`}`

function linkText({ state, detail }: Of<'link'>): string {
  const { said, after } = happeningTexts.linkHappeningWords[state]
  return joined([joined([said, detail], ': '), after], '. ')
}

function clockText({ change, byMs, speed }: Of<'clock'>): string {
  if (change === 'speed')
    return speed === 1 ? happeningTexts.clockAtRealSpeed : happeningTexts.clockAtSpeed(significantText(speed))
  const length = durationText(Math.abs(byMs))
  if (change === 'sleep') return happeningTexts.computerSlept(length)
  return byMs < 0 ? happeningTexts.clockSetBack(length) : happeningTexts.clockSetForward(length)
}

function exclusionText({ fromMs, toMs, channel, reason }: Of<'exclusion'>, { channels, clock }: Naming): string {
  const what = channel === null ? allChannels : channelName(channel, channels)
  const stretch = stretchText(fromMs, toMs, clock)
  return `${happeningTexts.excluded}: ${what}, ${stretch}. ${reason}`
}
function alarmEntryText(happened: Of<'alarm'>, { channels, limits, clock }: Naming): string {
  const { input, untilMs, note, limitId } = happened
  const limit = limits.find(({ id }) => id === limitId)
  const until = input === 'shelve' && untilMs !== null ? happeningTexts.alarmUntil(timeText(untilMs, clock)) : ''
  const advice = happened.class === 'advice' ? `${happeningTexts.advice}: ` : ''
  const name = joined([alarmHeadline(happened, channels), limit ? limitText(limit) : ''], ', ')
  const change = joined([happeningTexts.alarmInputWords[input], until], ' ')
  return joined([`${advice}${name}: ${change}`, note ?? ''], '. ')
}
function limitText({ of, average }: LimitInfo): string {
  if (of === 'reading' || average === null) return happeningTexts.ofReading
  return of === 'block' ? happeningTexts.ofBlock(averageText(average)) : happeningTexts.ofRolling(averageText(average))
}

function zeroText(
  { channel, mean, standardDeviation, count, inUse, clean, used }: Of<'zero'>,
  channels: readonly ChannelInfo[],
): string {
  // Zeros are small: one digit more than the channel's readings have.
  const decimals = (channels.find(({ id }) => id === channel)?.decimals ?? 2) + 1
  const spread = standardDeviation === null ? '' : ` ± ${numberText(standardDeviation, decimals)}`
  const parts = [
    `${happeningTexts.zeroTaken(channelName(channel, channels), `${numberText(mean, decimals)}${spread}${unitAfter(channel, channels)}`)} ${happeningTexts.zeroOfReadings(count)}`,
    inUse === null ? '' : happeningTexts.zeroBefore(numberText(inUse, decimals)),
    clean ? '' : happeningTexts.zeroUnclean,
    used ? happeningTexts.zeroUsed : happeningTexts.zeroNoted,
  ]
  return joined(parts, ', ')
}
