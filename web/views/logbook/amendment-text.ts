import type { AmendAnswer, AmendingCheck, AmendingExclusion } from '../../../protocols/live/amend.ts'
import type { ChannelInfo } from '../../../protocols/live/messages.ts'
import { channelName, checkShownText, stretchText } from '../../format/amendment-parts.ts'
import { dayTimeText, type Zone } from '../../format/times.ts'
import * as amendmentTexts from '../../texts/amendments.ts'
import { readOff } from '../../texts/happenings.ts'

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
  const what = told.channel === null ? (told.stream ?? amendmentTexts.allChannels) : channelName(told.channel, channels)
  return { name: stretchText(told.fromMs, told.toMs, zone), says: `${what}: ${told.reason}` }
}

const checkText = (told: AmendingCheck, channels: readonly ChannelInfo[], zone: Zone): AmendmentText => ({
  name: amendmentTexts.checkWords[told.kind](channelName(told.channel, channels)),
  says: `${readOff(dayTimeText(told.performedMs, zone))}: ${checkShownText(told, channels)}`,
})

/** What came of an amendment that was just told; `errors`: it holds, but not all of it is stored yet. */
export const amendedText = ({ changed, errors }: AmendAnswer): string =>
  [changed === null ? amendmentTexts.changing : amendmentTexts.changed(changed), ...errors].join(' ')
