import { html } from 'lit'
import type { ChannelInfo } from '../../protocols/live/messages.ts'
import { flagWords } from '../texts/channels.ts'
import type { ShownValue } from '../views/watch/channel-figures.ts'
import { nowMs, nox, oxygen, sampleFlow } from './invented.ts'
import type { Group } from './shown.ts'
import '../views/watch/channel-figures.ts'
import '../views/watch/supporting-row.ts'

const measured: ShownValue = { asRead: 92, corrected: 91, referred: 186.2, flag: 0 }
const figures = (channel: ChannelInfo, value: ShownValue | null, age: string | null = null) =>
  html`<channel-figures .channel=${channel} .value=${value} ?stale=${age !== null} age=${age ?? ''}></channel-figures>`

const supporting = (value: number | null, flag: number, isStale = false) =>
  html`<supporting-row .channels=${[sampleFlow]} .readings=${value === null ? [] : [{ stream: 'main', atMs: nowMs, phase: 'measure', plant: 'running', values: { 'sample-flow': { asRead: value, corrected: value, referred: null, flag } } }]} .staleStreams=${new Set(isStale ? ['main'] : [])}></supporting-row>`

export const figureStates: Group = {
  name: 'Figures',
  shown: [
    ['normal, corrected and referred', figures(nox, measured)],
    ['normal, as read', figures(oxygen, { asRead: 4.31, corrected: 4.31, referred: null, flag: 0 })],
    ['empty: no reading yet', figures(nox, null)],
    ['no value referred', figures(nox, { ...measured, referred: null })],
    ['stale', figures(nox, measured, '42 s')],
    ['stale, nothing ever came', figures(oxygen, null, '')],
    ...flagWords
      .slice(1)
      .map((word, place) => [`not counted: ${word}`, figures(nox, { ...measured, flag: place + 1 })] as const),
    ['supporting, normal', supporting(1.21, 0)],
    ['supporting, out of range', supporting(0.31, 2)],
    ['supporting, empty', supporting(null, 0)],
    ['supporting, stale', supporting(1.21, 0, true)],
  ],
}
