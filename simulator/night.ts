import type { InstrumentFault, Phase, PlantState } from '../protocols/words/phases.ts'
import { type Instrument, makeInstrument } from './instrument/instrument.ts'
import { cutLine, garbage, overLong, putNuls } from './lines/damage.ts'
import { type Effects, type MishapName, makeEffects, startSeconds } from './mishaps.ts'
import { makeBurner } from './plant/burner.ts'
import type { Gas } from './plant/flue-gas.ts'
import { chance } from './random.ts'
import { makeTrain } from './sampling/train.ts'
import type { Scenario } from './scenario.ts'

/** What was really so when a line was made. */
export interface Truth {
  readonly phase: Extract<Phase, 'measure' | 'purge' | 'zero' | 'standby' | 'fault'>
  /** Seconds since measuring began or a fault ended; 0 in any other phase. */
  readonly measuringSeconds: number
  readonly plant: PlantState
  readonly loadPercent: number
  readonly lambda: number
  /** At the probe. */
  readonly gas: Readonly<Gas>
  /** Per cell, in the scenario’s order: its own gas before it, after leak, delay and response, dry, without the cell’s errors. */
  readonly seen: readonly number[]
  /** Per cell: measuring, settled (twice the stated t95), in range, flow as needed, the line undamaged and its link up. */
  readonly counts: readonly boolean[]
  readonly faults: readonly InstrumentFault[]
  readonly mishaps: readonly MishapName[]
}

export interface SimulatedLine {
  /** 1, 2, 3 …, in the order of making. */
  readonly sequence: number
  /** Simulated time, ms since 1970 UTC. */
  readonly atMs: number
  readonly kind: 'reading' | 'opening' | 'banner' | 'garbage' | 'over-long' | 'repeat'
  /** `joined`: the line before lost its end, so that this one hangs on it. */
  readonly damage: null | 'cut' | 'joined' | 'nuls'
  /** `lost`, `mute`: not to be written. `kept`: to be written once the link is up again. */
  readonly link: 'up' | 'lost' | 'kept' | 'mute'
  /** With the line end; without it where it was lost. */
  readonly bytes: Buffer
  readonly truth: Truth
}

export interface NightSpan {
  /** Simulated start, ms since 1970 UTC; the scenario’s unless given. */
  readonly startMs?: number
  /** The scenario’s unless given; Infinity never ends. */
  readonly hours?: number
}

const lineEndBytes = { cr: 1, lf: 1, crlf: 2 }
const clockOrigin = Date.UTC(2000, 0, 1)
const stopsCounting: readonly InstrumentFault[] = ['condensate', 'pump-flow', 'cell-temperature']
/** Whether something that comes every so many seconds comes in this step. */
const isDue = (since: number, everySeconds: number, step: number): boolean =>
  Math.floor(since / everySeconds) > Math.floor((since - step) / everySeconds)

/**
 * A night, line by line, in simulated time. Pure: the same scenario, seed and start give the same bytes.
 * Memory does not grow with the night.
 */
export function* simulateNight(
  scenario: Scenario,
  seed: number,
  span: NightSpan = {},
): Generator<SimulatedLine, void, undefined> {
  const { instrument: settings } = scenario
  const step = settings.stepSeconds
  const startMs = span.startMs ?? Date.parse(scenario.start)
  const steps = Math.floor(((span.hours ?? scenario.hours) * 3600) / step + 1e-6)
  const scriptSeconds = scenario.hours * 3600
  const burner = makeBurner(scenario.burner, seed)
  const train = makeTrain(scenario.train, seed)
  const instrument = makeInstrument(
    settings,
    scenario.station.station.timeZone,
    scenario.train.pump.litresPerMinute,
    seed,
  )
  const range = (species: 'CO' | 'NO'): number => settings.cells.find((cell) => cell.species === species)?.range[1] ?? 0
  const script = makeEffects(scenario.mishaps, { CO: range('CO'), NO: range('NO') })
  const noise = chance(seed, 'damage')
  const lineEnd = instrument.writer.text('')
  const repeatable = Math.max(0, ...scenario.mishaps.map((one) => (one.what === 'link-lost' ? one.repeats : 0)))
  const lastSent: Buffer[] = []
  let lostLink: Effects['link'] = null
  let sequence = 0
  let measuringSeconds = 0
  let darkUntil = Number.NEGATIVE_INFINITY
  let clockLostUntil = Number.NEGATIVE_INFINITY
  let clockLostFrom = 0
  let owesBanner = true
  let owesLineEnd = false

  for (let index = 0; index < steps; index++) {
    const seconds = index * step
    const atMs = startMs + Math.round(seconds * 1000)
    const scriptNow = seconds % scriptSeconds
    const effects = script.at(scriptNow, step)
    for (const one of effects.begin) {
      if (one.what !== 'restart') continue
      darkUntil = seconds + one.darkSeconds
      clockLostUntil = darkUntil + one.clockLostSeconds
      clockLostFrom = darkUntil
      owesBanner = true
      instrument.cycle.restart()
    }
    burner.step(scriptNow, step, effects.burner)
    if (seconds < darkUntil) {
      train.step(burner.gas, true, step, effects)
      continue
    }
    instrument.cycle.step(step)
    train.step(burner.gas, instrument.cycle.phase !== 'measure', step, effects)
    instrument.measure(train.atCells, train, effects.clogged, step, atMs)
    measuringSeconds = isCounting(instrument) ? measuringSeconds + step : 0

    const link = effects.link ? (effects.link.buffers ? 'kept' : 'lost') : effects.isMute ? 'mute' : 'up'
    const truthOf = (isWhole: boolean): Truth => ({
      phase: instrument.cycle.phase === 'measure' && !isCounting(instrument) ? 'fault' : instrument.cycle.phase,
      measuringSeconds,
      plant: burner.plant,
      loadPercent: burner.loadPercent,
      lambda: burner.lambda,
      gas: { ...burner.gas },
      seen: instrument.cells.map((cell) => cell.gasSeen),
      counts: instrument.cells.map(
        (cell) =>
          isWhole &&
          measuringSeconds - step >= 2 * cell.settings.statedT95Seconds &&
          !instrument.isOver(cell) &&
          !instrument.isUnder(cell) &&
          train.litresPerMinute >= settings.countsWhile.sampleFlow[0] &&
          train.litresPerMinute <= settings.countsWhile.sampleFlow[1],
      ),
      faults: [...instrument.faults],
      mishaps: [...effects.active],
    })
    const make = (kind: SimulatedLine['kind'], damage: SimulatedLine['damage'], bytes: Buffer): SimulatedLine => {
      const counts = kind === 'reading' && damage === null && (link === 'up' || link === 'kept')
      return { sequence: ++sequence, atMs, kind, damage, link, bytes, truth: truthOf(counts) }
    }

    if (owesBanner) {
      owesBanner = false
      for (const text of settings.banner) yield make('banner', null, instrument.writer.text(text))
      for (const bytes of instrument.writer.opening) yield make('opening', null, bytes)
    }
    if (lostLink && !effects.link)
      for (const bytes of lastSent.slice(Math.max(0, lastSent.length - lostLink.repeats)))
        yield make('repeat', null, bytes)
    lostLink = effects.link
    for (const one of effects.begin)
      if (one.what === 'over-long-line') yield make('over-long', null, overLong(one.bytes, lineEnd))
    if (effects.garbage && isDue(scriptNow - startSeconds(effects.garbage), effects.garbage.everySeconds, step))
      yield make('garbage', null, garbage(lineEnd, noise))

    const instrumentMs =
      seconds < clockLostUntil ? clockOrigin + Math.round((seconds - clockLostFrom) * 1000) : atMs + effects.clockOffMs
    const whole = instrument.writer.line(instrument.values(burner, train), instrumentMs)
    const isCut =
      effects.cutLines !== null &&
      isDue(scriptNow - startSeconds(effects.cutLines), effects.cutLines.everySeconds, step)
    const isNul =
      effects.nuls !== null && isDue(scriptNow - startSeconds(effects.nuls), effects.nuls.everySeconds, step)
    const losesLineEnd = isCut && effects.cutLines?.losesLineEnd === true
    const end = lineEndBytes[settings.lineEnd]
    const bytes = isCut ? cutLine(whole, end, losesLineEnd, noise) : isNul ? putNuls(whole, end, noise) : whole
    yield make('reading', isCut ? 'cut' : owesLineEnd ? 'joined' : isNul ? 'nuls' : null, bytes)
    owesLineEnd = losesLineEnd
    if (repeatable > 0 && link === 'up') {
      lastSent.push(bytes)
      if (lastSent.length > repeatable) lastSent.shift()
    }
  }
}

const isCounting = (instrument: Instrument): boolean =>
  instrument.cycle.phase === 'measure' && !stopsCounting.some((fault) => instrument.faults.has(fault))
