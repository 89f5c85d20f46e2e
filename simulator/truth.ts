import { type FileHandle, open } from 'node:fs/promises'
import type { SimulatedLine } from './night.ts'
import { drawCharacter } from './sampling/cell.ts'
import type { Scenario } from './scenario.ts'
import type { Sent } from './sent.ts'
import { makeSummaries } from './truth-summary.ts'

/** Takes lines in their order and what became of each; lines reach the file in their order once their fate is known. */
export interface TruthWriter {
  line(line: SimulatedLine): void
  tell(sequences: Iterable<number>, sent: Sent): void
  /** Writes what is ready; everything that is still open becomes `unknown` when `last`. */
  flush(last?: boolean): Promise<void>
  close(): Promise<void>
}

export interface TruthOptions {
  readonly scenario: Scenario
  readonly seed: number
  readonly startMs: number
  /** Length of the summaries, minutes; aligned to midnight UTC. */
  readonly minutes: number
}

const rounded = (value: number): number => Number(value.toPrecision(9))

/** Text where the bytes are plain ASCII with a usual line end, base64 otherwise. */
function content(bytes: Buffer): { text: string } | { base64: string } {
  const text = bytes.toString('latin1')
  return /^[\x20-\x7e]*(?:\r\n|\r|\n)?$/.test(text) ? { text } : { base64: bytes.toString('base64') }
}

/** One JSON object per line: `header`, then `line`s, a `summary` after each block, and `end`. See docs/simulator.md. */
export function truthHeader({ scenario, seed, startMs, minutes }: TruthOptions): object {
  return {
    kind: 'header',
    format: 1,
    invented: true,
    scenario: scenario.name,
    about: scenario.about,
    seed,
    start: new Date(startMs).toISOString(),
    stepSeconds: scenario.instrument.stepSeconds,
    summaryMinutes: minutes,
    units: { O2: 'vol%', CO2: 'vol%', CO: 'ppm', NO: 'ppm', NO2: 'ppm', SO2: 'ppm', water: 'vol%' },
    basis: 'dry (water: share of the wet gas)',
    cells: scenario.instrument.cells.map((cell) => ({
      species: cell.species,
      range: cell.range,
      resolution: cell.resolution,
      statedT95Seconds: cell.statedT95Seconds,
      statedError: cell.statedError,
      selfZeroing: cell.selfZeroing,
      drawn: drawCharacter(cell, seed),
      from: {
        t90Seconds: cell.t90Seconds,
        span: cell.span,
        zero: cell.zero,
        driftPerHour: cell.driftPerHour,
        driftWander: cell.driftWander,
        zeroPerKelvin: cell.zeroPerKelvin,
        noise: cell.noise,
        cross: cell.cross,
        spanDriftPerHour: cell.spanDriftPerHour,
        hoursSinceCalibration: cell.hoursSinceCalibration,
        bend: cell.bend,
      },
    })),
    mishaps: scenario.mishaps,
  }
}

export function truthLine(line: SimulatedLine, sent: Sent, species: readonly string[]): object {
  const { truth } = line
  const counts = species.filter((_, index) => truth.counts[index])
  return {
    kind: 'line',
    sequence: line.sequence,
    at: new Date(line.atMs).toISOString(),
    line: line.kind,
    sent,
    damage: line.damage,
    link: line.link,
    ...content(line.bytes),
    phase: truth.phase,
    measuringSeconds: truth.measuringSeconds,
    plant: truth.plant,
    load: rounded(truth.loadPercent),
    lambda: rounded(truth.lambda),
    gas: Object.fromEntries(Object.entries(truth.gas).map(([name, value]) => [name, rounded(value)])),
    atCells: Object.fromEntries(species.map((name, index) => [name, rounded(truth.seen[index] ?? Number.NaN)])),
    counts: counts.length === species.length ? 'all' : counts,
    faults: truth.faults,
    mishaps: truth.mishaps,
  }
}

/** Opens (and empties) the file. Fails as `open` does. */
export async function writeTruth(path: string, options: TruthOptions): Promise<TruthWriter> {
  const file: FileHandle = await open(path, 'w')
  const species = options.scenario.instrument.cells.map((cell) => cell.species)
  return truthWriter(file, options, species)
}

function truthWriter(file: FileHandle, options: TruthOptions, species: readonly string[]): TruthWriter {
  const summaries = makeSummaries(options.scenario, options.minutes)
  const waiting = new Map<number, { readonly line: SimulatedLine; sent: Sent | null }>()
  let text = `${JSON.stringify(truthHeader(options))}\n`
  let total = { lines: 0, sent: 0, unknown: 0, notSent: 0 }
  const add = (of: object): void => {
    text += `${JSON.stringify(of)}\n`
  }
  const put = (line: SimulatedLine, sent: Sent): void => {
    for (const summary of summaries.take(line, sent)) add(summary)
    add(truthLine(line, sent, species))
    total = {
      lines: total.lines + 1,
      sent: total.sent + Number(sent === true),
      unknown: total.unknown + Number(sent === 'unknown'),
      notSent: total.notSent + Number(sent === false),
    }
  }
  const release = (last: boolean): void => {
    for (const [sequence, { line, sent }] of waiting) {
      if (sent === null && !last) return
      waiting.delete(sequence)
      put(line, sent ?? 'unknown')
    }
  }
  return {
    line: (line) => void waiting.set(line.sequence, { line, sent: null }),
    tell(sequences, sent) {
      for (const sequence of sequences) {
        const found = waiting.get(sequence)
        if (found) found.sent = sent
      }
    },
    async flush(last = false) {
      release(last)
      if (text.length < 65_536 && !last) return
      const out = text
      text = ''
      await file.write(out)
    },
    async close() {
      release(true)
      for (const summary of summaries.end()) add(summary)
      add({ kind: 'end', ...total })
      await file.write(text)
      await file.close()
    },
  }
}
