import { html } from 'lit'
import type { StreamState } from '../../protocols/live/messages.ts'
import { phases, plantStates } from '../../protocols/words/phases.ts'
import type { RibbonPart } from '../parts/phase-ribbon.ts'
import type { ViewState } from '../store.ts'
import { excludedWord, phaseWords, plantWords } from '../texts/phases.ts'
import { bigState } from '../views/watch/big-state.ts'
import { foldedParts } from '../views/watch/folded-parts.ts'
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

/** A cycle each four seconds, and what must not be lost among them. */
const cycles: readonly RibbonPart[] = Array.from({ length: 1500 }, (_, number): RibbonPart => {
  const lost = ({ 400: 'fault', 700: 'gap', 1100: 'excluded' } as const)[number]
  const shade = lost ?? (number % 3 === 0 ? 'purge' : 'measure')
  const word = shade === 'gap' ? 'No lines' : shade === 'excluded' ? excludedWord : phaseWords[shade]
  const startMs = nowMs - 100 * minute + number * 4000
  return { shade, word, startMs, endMs: startMs + 4000 }
})

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
    [
      'ribbon: cycles narrower than a pixel, with a fault, a gap and an excluded stretch',
      ribbon(foldedParts(cycles, minute / 2), 200),
    ],
    ['ribbon: empty', ribbon([])],
    ['ribbon: too narrow for words', ribbon(every, 120)],
  ],
}
