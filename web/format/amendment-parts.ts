import type { ChannelInfo } from '../../protocols/live/messages.ts'
import { fromTo } from '../texts/everywhere.ts'
import * as happeningTexts from '../texts/happenings.ts'
import { durationText } from './durations.ts'
import { significantText } from './numbers.ts'
import { dayTimeText, timeText, type Zone } from './times.ts'
import { unitName } from './units.ts'

/** A channel by its name; by its id where it is not known any more. */
export const channelName = (id: string, channels: readonly ChannelInfo[]): string =>
  channels.find((channel) => channel.id === id)?.name ?? id

/** ` ppm`, with the space before it; empty where the channel is not known any more. */
export function unitAfter(id: string, channels: readonly ChannelInfo[]): string {
  const found = channels.find((channel) => channel.id === id)
  return found ? ` ${unitName(found.unit)}` : ''
}

/** `25 Nov 04:12:40 +01:00 to 04:17:40 +01:00 (5 min)`. */
export const stretchText = (fromMs: number, toMs: number, zone: Zone): string =>
  `${fromTo(dayTimeText(fromMs, zone), timeText(toMs, zone))} (${durationText(toMs - fromMs)})`

interface Shown {
  readonly channel: string
  readonly expected: number
  readonly response: number
  readonly direct: number | null
  readonly gas: string
}
/** `391.5 ppm shown for 400 ppm, 392 ppm with the gas at the analyser. Gas: cylinder 7`. */
export function checkShownText(
  { channel, expected, response, direct, gas }: Shown,
  channels: readonly ChannelInfo[],
): string {
  const written = (value: number): string => `${significantText(value)}${unitAfter(channel, channels)}`
  const atAnalyser = direct === null ? '' : `, ${happeningTexts.direct(written(direct))}`
  return `${happeningTexts.shownFor(written(response), written(expected))}${atAnalyser}. ${happeningTexts.gas(gas)}`
}
