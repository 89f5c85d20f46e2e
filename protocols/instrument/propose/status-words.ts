import type { InstrumentFault, ToldPhase } from '../../words/phases.ts'

export interface TokenMeaning {
  phase?: ToldPhase
  fault?: InstrumentFault
  clears?: boolean
}

/** Beginnings of words that instruments of several languages use for what they do (common practice, no source). */
const phaseWords: readonly { readonly phase: ToldPhase; readonly looks: RegExp }[] = [
  { phase: 'measure', looks: /^(?:meas$|measur(?:e$|ing)|mess|sampl|run|gas$|mesure$|on$)/ },
  { phase: 'purge', looks: /^(?:purg|air|flush|fresh|sp(?:ü|ue|u)l|rinse|vent)/ },
  { phase: 'zero', looks: /^(?:zero|null|nul)/ },
  { phase: 'span', looks: /^(?:span|cal(?:$|i)|kal)/ },
  { phase: 'standby', looks: /^(?:stand|stby|idle|wait|bereit|pause|warm|ready)/ },
  { phase: 'fault', looks: /^(?:fault|fail|err|st(?:ö|oe)r|fehler|alarm)/ },
]
const faultWords: readonly { readonly fault: InstrumentFault; readonly looks: RegExp }[] = [
  { fault: 'condensate', looks: /cond|kond|trap|water|wasser/ },
  { fault: 'filter', looks: /filt|clog/ },
  { fault: 'pump-flow', looks: /pump|flow|fluss/ },
  { fault: 'cell-temperature', looks: /heat|hot|temp/ },
  { fault: 'mains', looks: /mains|power|netz|supply/ },
  { fault: 'battery', looks: /batt|akku/ },
  { fault: 'cell-over-range', looks: /range|over|satur/ },
]
const nothing = /^(?:ok|none|no|keine?|0|normal|good|clear)$/
const letters: Readonly<Record<string, ToldPhase>> = { m: 'measure', p: 'purge', z: 'zero', s: 'standby', f: 'fault' }

/** What a status token seems to tell. Null: not known. A single letter is half a guess. */
export function statusMeaning(token: string): { readonly tells: TokenMeaning; readonly confidence: number } | null {
  const word = token.trim().toLowerCase()
  const letter = letters[word]
  if (letter) return { tells: { phase: letter }, confidence: 0.5 }
  if (nothing.test(word)) return { tells: { clears: true }, confidence: 0.8 }
  const phase = phaseWords.find(({ looks }) => looks.test(word))
  if (phase) return { tells: { phase: phase.phase }, confidence: 0.8 }
  const fault = faultWords.find(({ looks }) => looks.test(word))
  return fault ? { tells: { fault: fault.fault }, confidence: 0.7 } : null
}

/** `POWER FAIL`, `*** PURGE ON ***`: a line that is nothing but a status. Null where it is not known. */
export function statusLine(text: string): { readonly token: string; readonly tells: TokenMeaning } | null {
  const token = text.replace(/^[^\p{L}]+/u, '').replace(/[^\p{L}]+$/u, '')
  if (token.length < 3 || token.length > 40 || /[0-9=;{}]/.test(token)) return null
  const word = token.toLowerCase()
  const fault = faultWords.find(({ looks }) => looks.test(word))
  const phase = phaseWords.find(({ looks }) => looks.test(word))
  if (phase && phase.phase !== 'fault') {
    // The end of a purge is the start of measuring; the end of anything else tells nothing.
    if (/\b(?:off|end|stop|aus)\b/.test(word))
      return phase.phase === 'purge' ? { token, tells: { phase: 'measure' } } : null
    return { token, tells: { phase: phase.phase } }
  }
  if (fault && /fail|fault|err|full|low|high|alarm|lost|empty|off|st(?:ö|oe)r/.test(word))
    return { token, tells: { fault: fault.fault } }
  return null
}

const separators = ['+', '|', ',', '/', ' ', ';'] as const

/** What splits texts that hold several tokens: the sign after which the fewest different tokens are left. */
export function separatorOf(texts: readonly string[]): string | undefined {
  const best = separators
    .filter((mark) => texts.some((text) => text.includes(mark)))
    .map((mark) => ({ mark, tokens: new Set(texts.flatMap((text) => text.split(mark).map((part) => part.trim()))) }))
    .filter(({ mark, tokens }) =>
      texts
        .filter((text) => text.includes(mark))
        .every((text) => text.split(mark).every((part) => tokens.has(part.trim()))),
    )
    .filter(({ tokens }) => [...tokens].some((token) => texts.includes(token) || statusMeaning(token) !== null))
    .sort((one, other) => one.tokens.size - other.tokens.size)
  return best[0]?.mark
}
