import type { ChannelInfo, LimitInfo, Outlook } from '../../../protocols/live/messages.ts'
import { limitText, numberText } from '../../format/numbers.ts'
import { hourMinuteSecondText, hourMinuteText } from '../../format/times.ts'
import { unitName } from '../../format/units.ts'
import { isInTouch } from '../../freshness.ts'
import { alarmHeadline, inOrder, needsHand } from '../../shell/alarm-order.ts'
import type { Station, ViewState } from '../../store.ts'
import * as glanceTexts from '../../texts/glance.ts'
import { likely as likelyText, validityWords } from '../../texts/running-block.ts'

/** One answer in words. `brief` fits a line of letters for three metres, `more` what stands beside it near by. */
export interface GlanceLine {
  readonly about: 'hand' | 'block' | 'stored'
  readonly brief: string
  readonly more: string
  readonly tone: 'plain' | 'caution' | 'alarm'
}

const plain = (about: GlanceLine['about'], brief: string, more = ''): GlanceLine => ({
  about,
  brief,
  more,
  tone: 'plain',
})

/** What needs a hand, up to when all is safe, and on which side of its limit the running block will end. Nothing that is not known is told as if it were. */
export function glanceLines(state: ViewState, average: string, pageMs: number, heldMs: number | null): GlanceLine[] {
  const { station } = state
  if (!station) return []
  const isKnown = isInTouch(state, pageMs) || station.mode === 'replay'
  return [
    isKnown
      ? handLine(station)
      : { about: 'hand', brief: glanceTexts.alarmsNotKnown, more: glanceTexts.outOfTouch, tone: 'alarm' },
    storedLine(station, isKnown),
    ...(heldMs === null ? blockLines(station, average) : [plain('block', glanceTexts.blockNotKnown)]),
  ]
}

function handLine(station: Station): GlanceLine {
  const open = inOrder(station.alarms).filter(needsHand)
  const shelved = station.alarms.filter(({ state }) => state === 'shelved').length
  const aside = shelved ? glanceTexts.shelved(shelved) : ''
  const [first] = open
  if (!station.streams.length) return plain('hand', glanceTexts.toBeSetUp)
  if (!first) return plain('hand', glanceTexts.nothingNeedsHand, aside)
  return {
    about: 'hand',
    brief: (station.mode === 'replay' ? glanceTexts.neededHand : glanceTexts.needHand)(open.length),
    more: [alarmHeadline(first, station.channels), aside].filter(Boolean).join(' · '),
    tone: open.some(({ priority, active }) => active && priority !== 'low') ? 'alarm' : 'caution',
  }
}

const urgency = { above: 0, undecided: 1, below: 2, 'cannot-tell': 3 } as const

/** Of each channel with a limit, what matters most first. */
function blockLines(station: Station, average: string): GlanceLine[] {
  const newestMs = Math.max(
    ...station.openBlocks.filter((row) => row.average === average).map(({ startMs }) => startMs),
  )
  const outlooks = station.outlooks
    .filter((found) => found.average === average && found.startMs === newestMs)
    .sort((one, other) => urgency[one.heading] - urgency[other.heading])
  return outlooks.flatMap((outlook) => {
    const limit = station.limits.find(({ id }) => id === outlook.limit)
    const channel = station.channels.find(({ id }) => id === outlook.channel)
    return limit && channel ? [outlookLine(station, outlook, limit, channel)] : []
  })
}

function outlookLine(station: Station, outlook: Outlook, limit: LimitInfo, channel: ChannelInfo): GlanceLine {
  const decimals = channel.referred?.decimals ?? channel.decimals
  const { likelyLow, likelyHigh, reachesLimitMs } = outlook
  const likely =
    likelyLow === null || likelyHigh === null
      ? ''
      : likelyText(numberText(likelyLow, decimals), numberText(likelyHigh, decimals))
  const edge = `${limitText(limit.value, decimals)} ${unitName(limit.unit)}`
  const [inside, outside] = limit.kind === 'high' ? (['below', 'above'] as const) : (['above', 'below'] as const)
  const at = reachesLimitMs === null ? '' : glanceTexts.fromTime(hourMinuteText(reachesLimitMs, station.clock))
  const brief = {
    below: glanceTexts.stays(channel.name, inside, edge),
    above: glanceTexts.heading(channel.name, outside, `${edge}${at}`),
    undecided: glanceTexts.mayPass(channel.name, `${edge}${at}`),
    'cannot-tell': glanceTexts.tooEarly(channel.name),
  }[outlook.heading]
  return {
    about: 'block',
    brief,
    more: [likely, validityWords[outlook.validity]].filter(Boolean).join(' · '),
    tone:
      outlook.heading === 'above' || outlook.validity === 'lost' || outlook.validity === 'at-risk'
        ? 'caution'
        : 'plain',
  }
}

function storedLine({ recording, clock, mode }: Station, isKnown: boolean): GlanceLine {
  if (mode === 'replay') return plain('stored', glanceTexts.thePast)
  const at = recording.storedUpToMs === null ? null : hourMinuteSecondText(recording.storedUpToMs, clock)
  const stored = at === null ? glanceTexts.nothingStored : glanceTexts.storedUpTo(at)
  if (!isKnown) return plain('stored', at === null ? stored : glanceTexts.lastHeard(at))
  return recording.state === 'stopped'
    ? { about: 'stored', brief: glanceTexts.notRecording, more: recording.detail, tone: 'alarm' }
    : recording.state === 'behind'
      ? { about: 'stored', brief: stored, more: glanceTexts.recordingBehind, tone: 'caution' }
      : plain('stored', stored, recording.detail)
}
