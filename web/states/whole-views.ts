import { html } from 'lit'
import { HelpSheet } from '../shell/help-sheet.ts'
import type { Station, ViewState } from '../store.ts'
import { emptyWords } from '../texts/no-instrument.ts'
import { RecordingsView } from '../views/recordings/recordings-view.ts'
import { cutOff, replayed, silentStream, station, stillSession, stream, view } from './invented.ts'
import { laidOpen } from './laid-open.ts'
import type { Group } from './shown.ts'
import '../shell/this-screen.ts'
import '../shell/terms-list.ts'
import '../parts/no-instrument.ts'
import '../views/alarms/alarms-view.ts'
import '../views/averages/averages-view.ts'
import '../views/logbook/logbook-view.ts'
import '../views/watch/far-view.ts'
import '../views/watch/watch-view.ts'

const nothingYet: Station = station({
  run: { ...station().run, recording: null, state: 'waiting', name: '', startMs: null, elapsedMs: 0, countedMs: 0 },
  recording: { ...station().recording, storedUpToMs: null },
  streams: [stream({ lastLineMs: null, link: 'waiting' })],
  openBlocks: [],
  outlooks: [],
})
const notSetUp: Station = { ...nothingYet, streams: [], channels: [], limits: [] }

/** The list of recordings, without asking a station for it. */
class ToldRecordings extends RecordingsView {
  protected override async ask(): Promise<void> {}
}
customElements.define('told-recordings', ToldRecordings)

const far = (state: ViewState) => html`<far-view .session=${stillSession(state)}></far-view>`

export const emptyStates: Group = {
  name: 'Empty views',
  isWide: true,
  shown: [
    ...(Object.keys(emptyWords) as (keyof typeof emptyWords)[]).map(
      (one) => [`${one}: no instrument is set up`, html`<no-instrument view=${one}></no-instrument>`] as const,
    ),
    ['watch: loading', html`<watch-view .session=${stillSession(view(null))}></watch-view>`],
    ['averages: loading', html`<averages-view .session=${stillSession(view(null))}></averages-view>`],
    [
      'averages: no block has ended yet',
      html`<averages-view .session=${stillSession(view(nothingYet))}></averages-view>`,
    ],
    ['alarms: none', html`<alarms-view .session=${stillSession(view(nothingYet))}></alarms-view>`],
    ['alarms: no instrument is set up', html`<alarms-view .session=${stillSession(view(notSetUp))}></alarms-view>`],
    [
      'logbook: nothing has happened yet',
      html`<logbook-view .session=${stillSession(view(nothingYet))}></logbook-view>`,
    ],
    [
      'recordings: none yet',
      html`<told-recordings .session=${stillSession(view(nothingYet))} .recordings=${[]}></told-recordings>`,
    ],
    ['recordings: loading', html`<told-recordings .session=${stillSession(view(nothingYet))}></told-recordings>`],
    [
      'recordings: error',
      html`<told-recordings .session=${stillSession(view(nothingYet))} .error=${'The station does not answer. Is the line to it up?'}></told-recordings>`,
    ],
  ],
}
export const farStates: Group = {
  name: 'Far view',
  isWide: true,
  shown: [
    ['normal', far(view())],
    ['stale: no lines', far(view(station({ streams: [silentStream] })))],
    ['disconnected', far(cutOff)],
    ['not recording', far(view(station({ recording: { ...station().recording, state: 'stopped' } })))],
    ['replay', far(view(replayed))],
    ['no instrument is set up', far(view(notSetUp))],
    ['loading', far(view(null))],
  ],
}
export const helpStates: Group = { name: 'Help', shown: [['the help sheet', laidOpen(new HelpSheet())]] }
