import type { LineProfile } from '../profile.ts'
import type { Guess, SampledColumn } from './proposal.ts'
import { fitsAll, goesWithMonthFirst, type TimeGuess, timeGuess } from './time-text.ts'

export interface TimeColumns {
  readonly settings: LineProfile['time'] | null
  readonly guesses: readonly Guess[]
  /** The columns that the time takes, in the order of `settings.fields`. */
  readonly taken: readonly SampledColumn[]
  /** Columns that look like a date or a time and were not taken. */
  readonly left: readonly SampledColumn[]
  /** What only a person can tell of it. */
  readonly asks: readonly string[]
}

/** So many texts, spread over the lines, tell the format; one that is not a time, as a cut line brings, is let pass in twenty. */
const mostTexts = 200

/** Texts spread over the column, without empty ones and without the odd ones out by length. */
function spread(column: SampledColumn): string[] {
  const texts = column.texts.flatMap((text) => (text === null || text.trim() === '' ? [] : [text.trim()]))
  const step = Math.max(1, Math.floor(texts.length / mostTexts))
  return texts.filter((_, place) => place % step === 0)
}

/** The guess for most of the texts: those of a rare shape are set aside. */
function guessOf(column: SampledColumn, monthFirst = false): TimeGuess | null {
  const texts = spread(column)
  const filled = column.texts.filter((text) => text !== null && text.trim() !== '').length
  if (filled * 10 < column.texts.length * 8) return null
  const shapes = new Map<string, string[]>()
  for (const text of texts) {
    const shape = text.replace(/\d+/g, '0')
    const alike = shapes.get(shape)
    if (alike) alike.push(text)
    else shapes.set(shape, [text])
  }
  const frequent = [...shapes.values()].filter((alike) => alike.length * 20 > texts.length).flat()
  return timeGuess(frequent, column.label, monthFirst)
}

const zoneOf = (guess: TimeGuess): string => (guess.kind === 'epoch' ? 'UTC' : 'station')
const told = (format: string, guess: TimeGuess): Guess => ({
  what: 'time',
  value: format,
  confidence: guess.confidence,
  reason: guess.reason,
})

const isHour = (column: SampledColumn): boolean =>
  /hour|stunde|heure|hora/i.test(column.label) && spread(column).every((text) => /^\d{1,2}$/.test(text) && +text < 24)

/** The columns that tell the time: one with both, or a date and a time of day, or a time of day alone. */
export function timeColumns(columns: readonly SampledColumn[]): TimeColumns {
  const guessed = columns.flatMap((column) => {
    const guess = guessOf(column)
    return guess ? [{ column, guess }] : []
  })
  const of = (...kinds: TimeGuess['kind'][]) => guessed.find(({ guess }) => kinds.includes(guess.kind))
  const made = (format: string, guess: TimeGuess, ...taken: SampledColumn[]): TimeColumns => ({
    settings: { fields: taken.map(({ at }) => at) as [SampledColumn['at']], format, zone: zoneOf(guess) },
    guesses: [told(format, guess)],
    taken,
    left: guessed.map(({ column }) => column).filter((column) => !taken.includes(column)),
    asks: guess.isOpen
      ? [
          `whether the date “${spread(taken[0] as SampledColumn)[0]}” begins with the day or the month: read as ${format}`,
        ]
      : [],
  })

  const both = of('both', 'epoch')
  if (both) return made(both.guess.format, both.guess, both.column)
  const date = of('date')
  const clock = of('time')
  const hour = date ? columns.find(isHour) : undefined
  // `0.75` beside an hour of the day is a share of that hour and no time.
  const isDoubtful = hour !== undefined && clock !== undefined && !/:|ss/.test(clock.guess.format)
  if (date && clock && !isDoubtful) {
    const guess = guessOf(date.column, goesWithMonthFirst(clock.guess.format)) ?? date.guess
    return made(`${guess.format} ${clock.guess.format}`, guess, date.column, clock.column)
  }
  if (date && hour) {
    const letter = spread(hour).some((text) => text.length === 1) ? 'H' : 'HH'
    const format = `${date.guess.format} ${letter}`
    if (fitsAll(format, [`${spread(date.column)[0]} ${spread(hour)[0]}`]))
      return made(format, { ...date.guess, reason: 'a date, and an hour of the day beside it' }, date.column, hour)
  }
  if (clock && !isDoubtful)
    return made(clock.guess.format, { ...clock.guess, reason: 'a time of day without a date' }, clock.column)
  return {
    settings: null,
    guesses: [
      {
        what: 'time',
        value: 'arrival',
        confidence: 0.6,
        reason: 'no column holds a time: the time of arrival is used',
      },
    ],
    taken: [],
    left: guessed.map(({ column }) => column),
    asks: [],
  }
}
