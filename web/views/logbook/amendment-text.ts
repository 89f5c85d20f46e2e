import type { AmendAnswer, AmendingCheck, AmendingExclusion } from '../../../protocols/live/amend.ts'
import type { ChannelInfo } from '../../../protocols/live/messages.ts'
import { durationText } from '../../format/durations.ts'
import { significantText } from '../../format/numbers.ts'
import { dayTimeText, timeText, type Zone } from '../../format/times.ts'
import { unitName } from '../../format/units.ts'
import { amendmentWords, checkKindWords } from '../../texts/amendments.ts'

export type Amending = AmendingExclusion | AmendingCheck
export const isCheck = (told: Amending): told is AmendingCheck => 'performedMs' in told

/** What names an amendment, and what it says. */
export interface AmendmentText {
  readonly name: string
  readonly says: string
}
export const amendmentText = (told: Amending, channels: readonly ChannelInfo[], zone: Zone): AmendmentText =>
  isCheck(told) ? checkText(told, channels, zone) : exclusionText(told, channels, zone)

function exclusionText(told: AmendingExclusion, channels: readonly ChannelInfo[], zone: Zone): AmendmentText {
  const channel = channels.find(({ id }) => id === told.channel)
  const what = channel?.name ?? told.channel ?? told.stream ?? amendmentWords.allChannels
  return {
    name: `${dayTimeText(told.fromMs, zone)} to ${timeText(told.toMs, zone)}`,
    says: `${durationText(told.toMs - told.fromMs)}, ${what}: ${told.reason}`,
  }
}

function checkText(told: AmendingCheck, channels: readonly ChannelInfo[], zone: Zone): AmendmentText {
  const channel = channels.find(({ id }) => id === told.channel)
  const unit = channel ? ` ${unitName(channel.unit)}` : ''
  const direct = told.direct === null ? '' : `, ${significantText(told.direct)} with the gas at the analyser`
  return {
    name: `${checkKindWords[told.kind]} of ${channel?.name ?? told.channel}`,
    says: `read off ${dayTimeText(told.performedMs, zone)}: ${significantText(told.response)}${unit} shown for ${significantText(told.expected)}${unit}${direct}. Gas: ${told.gas}`,
  }
}

/** What came of an amendment that was just told; `errors`: it holds, but not all of it is stored yet. */
export const amendedText = ({ changed, errors }: AmendAnswer): string =>
  [changed === null ? amendmentWords.changing : amendmentWords.changed(changed), ...errors].join(' ')
