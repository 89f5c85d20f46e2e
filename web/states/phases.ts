import { html } from 'lit'
import type { StreamState } from '../../protocols/live/messages.ts'
import { phases, plantStates } from '../../protocols/words/phases.ts'
import type { RibbonPart } from '../parts/phase-ribbon.ts'
import type { ViewState } from '../store.ts'
import { excludedWord, phaseWords, plantWords } from '../texts/phases.ts'
import { bigState } from '../views/watch/big-state.ts'
import { cutOff, minute, nowMs, pageMs, replayed, silentStream, station, stream, view } from './invented.ts'
import type { Group } from './shown.ts'
import '../parts/phase-ribbon.ts'
import '../views/watch/phase-hero.ts'

const hero = (of: StreamState, known: ViewState = view(station({ streams: [of] })), plant = '') =>
  html`<phase-hero .state=${bigState(known, of, pageMs, nowMs)} plant=${plant}></phase-hero>`

const ribbon = (parts: readonly RibbonPart[], width = 420) =>
  html`<phase-ribbon .parts=${parts} .fromMs=${nowMs - 100 * minute} .toMs=${nowMs} .width=${width} .zone=${station().clock} .rightRoom=${14}></phase-ribbon>`
const tenth = (place: number) => nowMs - (100 - 10 * place) * minute
const every: readonly RibbonPart[] = [
  ...phases.map((phase) => ({ shade: phase, word: phaseWords[phase] })),
  { shade: 'gap' as const, word: 'No lines' },
  { shade: 'excluded' as const, word: excludedWord },
].map((part, place) => ({ ...part, startMs: tenth(place), endMs: tenth(place + 1) }))

export const phaseStates: Group = {
  name: 'Phase',
  isWide: true,
  shown: [
    ...phases.map((phase) => [phaseWords[phase], hero(stream({ phase }))] as const),
    [
      'recognised from the signals, what comes is not known',
      hero(stream({ phase: 'purge', phaseInferred: true, next: null })),
    ],
    [
      'the next phase is overdue',
      hero(stream({ next: { phase: 'purge', atMs: nowMs - 4 * minute, known: 'schedule' } })),
    ],
    ['no line yet', hero(stream({ link: 'waiting', lastLineMs: null }))],
    ['stale: no lines', hero(silentStream)],
    [
      'link refused',
      hero(stream({ link: 'refused', lastLineMs: nowMs - 90_000, linkDetail: 'the port is held by another program' })),
    ],
    ['disconnected: the page is out of touch', hero(cutOff.station?.streams[0] ?? stream(), cutOff)],
    ['replay', hero(stream(), view(replayed))],
    ...plantStates.map(
      (plant) => [`plant: ${plantWords[plant]}`, hero(stream(), undefined, plantWords[plant])] as const,
    ),
    ['ribbon: every phase, gap, excluded', ribbon(every, 900)],
    ['ribbon: empty', ribbon([])],
    ['ribbon: too narrow for words', ribbon(every, 120)],
  ],
}
