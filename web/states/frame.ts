import { html } from 'lit'
import type { RecordingState, RunState, StreamState } from '../../protocols/live/messages.ts'
import { plainRoute } from '../route.ts'
import type { Station, ViewState } from '../store.ts'
import { linkWords, recordingWords } from '../texts/links.ts'
import { runWords } from '../texts/runs.ts'
import { cutOff, link, minute, nowMs, pageMs, replayed, silentStream, station, stream, view } from './invented.ts'
import type { Group } from './shown.ts'
import '../shell/replay-bar.ts'
import '../shell/status-line.ts'
import '../shell/top-bar.ts'
import '../views/watch/run-panel.ts'

const links = (state: ViewState) => html`<status-line .state=${state} .pageMs=${pageMs}></status-line>`
const recorded = (more: Partial<RecordingState>) =>
  links(view(station({ recording: { ...station().recording, ...more } })))
const bar = (known: Station | null) =>
  html`<top-bar .station=${known} .route=${plainRoute} .nowMs=${nowMs} theme="system"></top-bar>`
const run = (more: Partial<RunState>) =>
  html`<run-panel .run=${{ ...station().run, ...more }} .zone=${station().clock} canControl></run-panel>`
const playback = (more: Partial<NonNullable<Station['playback']>>) => {
  const { playback: usual } = replayed
  const known = usual && { ...replayed, playback: { ...usual, ...more } }
  return html`<replay-bar .station=${known ?? replayed} .nowMs=${known?.playback.atMs ?? nowMs}></replay-bar>`
}

export const linkStates: Group = {
  name: 'Links',
  shown: [
    ['normal', links(view())],
    ['loading: the first word has not come', links(view(null, { link: link({ state: 'connecting' }) }))],
    ...(Object.keys(linkWords) as StreamState['link'][]).map(
      (one) =>
        [
          `instrument: ${linkWords[one]}`,
          links(view(station({ streams: [one === 'silent' ? silentStream : stream({ link: one, attempt: 3 })] }))),
        ] as const,
    ),
    [
      'lines that take no part',
      links(view(station({ streams: [stream({ refused: { broken_encoding: 3, out_of_order: 14 } })] }))),
    ],
    [
      'two instruments, one stale',
      links(view(station({ streams: [stream({ id: 'inlet' }), { ...silentStream, id: 'outlet' }] }))),
    ],
    ['nothing heard on an open line', links({ ...cutOff, link: link() })],
    ['disconnected', links(cutOff)],
    ['catching up', links(view(station(), { hole: true }))],
    ['replay', links(view(replayed))],
    ...(Object.keys(recordingWords) as RecordingState['state'][]).map(
      (state) => [`recording: ${recordingWords[state]}`, recorded({ state })] as const,
    ),
    ['recording: nothing stored yet', recorded({ storedUpToMs: null })],
    ['recording: little room', recorded({ hoursLeft: 5 })],
  ],
}
export const frameStates: Group = {
  name: 'Top bar, run, replay',
  isWide: true,
  shown: [
    ['top bar', bar(station({ invented: false }))],
    ['top bar, loading', bar(null)],
    ['top bar, invented data at speed', bar(station({ clock: { ...station().clock, speed: 60 } }))],
    ['top bar, replay', bar(replayed)],
    ...(Object.keys(runWords) as RunState['state'][]).map(
      (state) =>
        [
          `run: ${runWords[state]}`,
          run({
            state,
            endMs: state === 'ended' ? nowMs : null,
            plannedMs: state === 'planned' ? nowMs + 20 * minute : null,
          }),
        ] as const,
    ),
    ['run: none yet', run({ startMs: null, state: 'planned', name: '', of: 1, elapsedMs: 0, countedMs: 0 })],
    ['replay, paused', playback({})],
    ['replay, playing', playback({ playing: true })],
    ['replay, at its end', playback({ atMs: nowMs + 240 * minute })],
  ],
}
