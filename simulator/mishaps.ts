import { z } from 'zod'

const minutes = z.number().min(0).max(100_000)
const when = { atMinutes: minutes.describe('Minutes of the script.'), forMinutes: z.number().positive().max(10_000) }

/** What can go wrong, each by its name. Times are minutes from the start of the script. */
export const mishap = z.discriminatedUnion('what', [
  z
    .strictObject({ what: z.literal('trap-full'), ...when, flowFallsTo: z.number().min(0).max(1).default(0.1) })
    .describe(
      'Water runs into the trap until it is full; the pump is held back to this share until somebody empties it.',
    ),
  z
    .strictObject({ what: z.literal('pump-weak'), ...when, strength: z.number().min(0).max(1).default(0.4) })
    .describe('The pump fades to this share of its strength.'),
  z
    .strictObject({ what: z.literal('filter-clogging'), ...when, clogged: z.number().min(0).max(1).default(0.7) })
    .describe('The filter closes by this share over the time, then it is changed.'),
  z
    .strictObject({ what: z.literal('air-leak'), ...when, share: z.number().min(0).max(1).default(0.15) })
    .describe('Room air is drawn in: its share of the sample.'),
  z.strictObject({
    what: z.literal('link-lost'),
    ...when,
    buffers: z
      .boolean()
      .default(false)
      .describe('The instrument keeps its lines and sends them when the link is back.'),
    repeats: z
      .int()
      .min(0)
      .max(1000)
      .default(0)
      .describe('So many of the last lines before the loss are sent again when the link is back.'),
  }),
  z.strictObject({ what: z.literal('mute'), ...when }).describe('The link stands, nothing is written.'),
  z
    .strictObject({ what: z.literal('garbage'), ...when, everySeconds: z.number().positive().default(7) })
    .describe('Runs of chance bytes between the lines, each with a line end.'),
  z
    .strictObject({
      what: z.literal('cell-over-range'),
      ...when,
      species: z.enum(['CO', 'NO']).default('CO'),
      times: z.number().min(1.05).max(20).default(1.5),
    })
    .describe('So much of the gas that its cell is beyond its range, by this factor.'),
  z
    .strictObject({
      what: z.literal('cut-lines'),
      ...when,
      everySeconds: z.number().positive().default(11),
      losesLineEnd: z.boolean().default(false),
    })
    .describe('Lines lose their tail, and where set their line end: then two run together.'),
  z
    .strictObject({ what: z.literal('nuls'), ...when, everySeconds: z.number().positive().default(13) })
    .describe('NUL bytes in the middle of lines.'),
  z
    .strictObject({
      what: z.literal('over-long-line'),
      atMinutes: minutes,
      bytes: z.int().min(100).max(1_000_000).default(10_000),
    })
    .describe('One line of this length.'),
  z
    .strictObject({
      what: z.literal('clock-jump'),
      atMinutes: minutes,
      bySeconds: z
        .number()
        .min(-86_400 * 366)
        .max(86_400 * 366),
      forMinutes: z.number().positive().optional(),
    })
    .describe('The instrument’s clock is off by this much, for a time or for good.'),
  z
    .strictObject({
      what: z.literal('restart'),
      atMinutes: minutes,
      darkSeconds: z.number().min(0).default(20),
      clockLostSeconds: z.number().min(0).default(0),
    })
    .describe(
      'The instrument starts anew: silence, banner, standby, purge; its clock may begin at 2000-01-01 until it is set.',
    ),
  z
    .strictObject({
      what: z.literal('limit-excursion'),
      ...when,
      species: z.enum(['CO', 'NO']).default('CO'),
      ppm: z.number().positive(),
      riseMinutes: z.number().positive().default(3),
    })
    .describe('Burner trouble: so much more of the gas, rising and falling over riseMinutes.'),
])
export type Mishap = z.infer<typeof mishap>
export type MishapName = Mishap['what']
type Of<N extends MishapName> = Extract<Mishap, { what: N }>

export const startSeconds = (of: Mishap): number => of.atMinutes * 60
/** Seconds that a mishap lasts; Infinity for a clock that stays wrong; 0 for what happens once. */
export function lengthSeconds(of: Mishap): number {
  if ('forMinutes' in of && of.forMinutes !== undefined) return of.forMinutes * 60
  if (of.what === 'clock-jump') return Number.POSITIVE_INFINITY
  if (of.what === 'restart') return of.darkSeconds
  return 0
}
/** How far a mishap has come, 0…1; null outside its time. A mishap without length is never inside it: see `Effects.once`. */
const progress = (of: Mishap, seconds: number): number | null => {
  const since = seconds - startSeconds(of)
  const length = lengthSeconds(of)
  if (since < 0 || since >= length) return null
  return Number.isFinite(length) ? since / length : 0
}

/** All that the mishaps do at one moment; one object, overwritten by each call. */
export interface Effects {
  readonly active: MishapName[]
  /** The mishaps that begin with this step. */
  readonly begin: Mishap[]
  readonly burner: { carbonMonoxide: number; nitricOxide: number }
  trapFull: Of<'trap-full'> | null
  pumpStrength: number
  clogged: number
  leakShare: number
  link: Of<'link-lost'> | null
  isMute: boolean
  garbage: Of<'garbage'> | null
  cutLines: Of<'cut-lines'> | null
  nuls: Of<'nuls'> | null
  clockOffMs: number
}

/** ranges: the upper end of the cells' ranges, ppm. The list is short; each call walks it. */
export function makeEffects(
  mishaps: readonly Mishap[],
  ranges: Readonly<Record<'CO' | 'NO', number>>,
): { at(seconds: number, stepSeconds: number): Effects } {
  const effects: Effects = {
    active: [],
    begin: [],
    burner: { carbonMonoxide: 0, nitricOxide: 0 },
    trapFull: null,
    pumpStrength: 1,
    clogged: 0,
    leakShare: 0,
    link: null,
    isMute: false,
    garbage: null,
    cutLines: null,
    nuls: null,
    clockOffMs: 0,
  }
  const add = (species: 'CO' | 'NO', ppm: number): void => {
    if (species === 'CO') effects.burner.carbonMonoxide += ppm
    else effects.burner.nitricOxide += ppm
  }
  return {
    at(seconds, stepSeconds) {
      effects.active.length = 0
      effects.begin.length = 0
      Object.assign(effects.burner, { carbonMonoxide: 0, nitricOxide: 0 })
      Object.assign(effects, {
        trapFull: null,
        pumpStrength: 1,
        clogged: 0,
        leakShare: 0,
        link: null,
        isMute: false,
        garbage: null,
        cutLines: null,
        nuls: null,
        clockOffMs: 0,
      })
      for (const one of mishaps) {
        const since = seconds - startSeconds(one)
        if (since >= 0 && since < stepSeconds) effects.begin.push(one)
        const done = progress(one, seconds)
        if (done === null) continue
        effects.active.push(one.what)
        apply(one, done)
      }
      return effects
    },
  }

  function apply(one: Mishap, done: number): void {
    switch (one.what) {
      case 'trap-full':
        effects.trapFull = one
        break
      case 'pump-weak':
        effects.pumpStrength = Math.min(effects.pumpStrength, 1 - (1 - one.strength) * Math.min(1, done * 4))
        break
      case 'filter-clogging':
        effects.clogged = Math.max(effects.clogged, one.clogged * done)
        break
      case 'air-leak':
        effects.leakShare = Math.max(effects.leakShare, one.share)
        break
      case 'link-lost':
        effects.link = one
        break
      case 'mute':
        effects.isMute = true
        break
      case 'garbage':
        effects.garbage = one
        break
      case 'cut-lines':
        effects.cutLines = one
        break
      case 'nuls':
        effects.nuls = one
        break
      case 'clock-jump':
        effects.clockOffMs += one.bySeconds * 1000
        break
      case 'cell-over-range':
        add(one.species, ranges[one.species] * one.times)
        break
      case 'limit-excursion': {
        const edge = Math.min(0.5, one.riseMinutes / one.forMinutes)
        add(one.species, one.ppm * Math.min(1, done / edge, (1 - done) / edge))
        break
      }
      case 'over-long-line':
      case 'restart':
        break
    }
  }
}
