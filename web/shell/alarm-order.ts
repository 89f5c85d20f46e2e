import type { AlarmStanding, ChannelInfo } from '../../protocols/live/messages.ts'
import { alarmText } from '../../protocols/words/alarm-texts.ts'
import { durationText } from '../format/durations.ts'
import { limitText, numberText } from '../format/numbers.ts'
import { unitName } from '../format/units.ts'
import * as bannerTexts from '../texts/alarm-banner.ts'

const priority = { high: 0, medium: 1, low: 2 } as const

/** Whether someone still has to take note of it. Advice is taken note of by reading it. */
export const needsHand = (alarm: AlarmStanding): boolean =>
  alarm.class !== 'advice' &&
  (alarm.state === 'raised' || alarm.state === 'returned' || alarm.state === 'latched-raised')
export const isShown = (alarm: AlarmStanding): boolean =>
  alarm.state !== 'normal' &&
  alarm.state !== 'suppressed' &&
  alarm.state !== 'shelved' &&
  (alarm.class !== 'advice' || alarm.active)

/** A latch whose cause has gone and that somebody has seen: only a reset by hand ends it. */
export const isResettable = (alarm: AlarmStanding): boolean => alarm.state === 'latched-acknowledged' && !alarm.active

/** What asks for a hand first, then by priority, then the oldest (the first-out) first. */
export const inOrder = (alarms: readonly AlarmStanding[]): AlarmStanding[] =>
  alarms
    .filter(isShown)
    .sort(
      (one, other) =>
        Number(needsHand(other)) - Number(needsHand(one)) ||
        Number(other.active) - Number(one.active) ||
        priority[one.priority] - priority[other.priority] ||
        one.raisedMs - other.raisedMs,
    )

/** Since when it stands and how long already; of one that is over, when it was raised. `at`: that time in words. */
export const raisedText = ({ active, raisedMs }: AlarmStanding, at: string, nowMs: number): string =>
  (active ? bannerTexts.since : bannerTexts.raised)(at, durationText(nowMs - raisedMs))

/** `NOₓ: Limit passed, 204 against 200 mg/m³`. */
export function alarmHeadline(
  alarm: Pick<AlarmStanding, 'class' | 'cause' | 'channel' | 'value' | 'limit' | 'unit'>,
  channels: readonly ChannelInfo[],
): string {
  const channel = channels.find((found) => found.id === alarm.channel)
  const cause = alarmText(alarm).title
  const decimals = channel?.referred?.decimals ?? channel?.decimals ?? 1
  const numbers =
    alarm.value === null || alarm.limit === null
      ? ''
      : `, ${bannerTexts.against(numberText(alarm.value, decimals), `${limitText(alarm.limit, decimals)} ${unitName(alarm.unit ?? '')}`)}`
  return `${channel ? `${channel.name}: ` : ''}${cause}${numbers}`
}
