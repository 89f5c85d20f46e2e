import { IANAZone } from 'luxon'
import type {
  LogbookEntry,
  PhaseSpan,
  ReadingState,
  SnapshotMessage,
  StreamState,
} from '../../protocols/live/messages.ts'
import { liveProtocolVersion } from '../../protocols/live/messages.ts'
import type { AverageRow } from '../../protocols/words/blocks.ts'
import { averageKey } from '../../protocols/words/blocks.ts'
import type { Amendments } from '../engine/amendments.ts'
import { standardOffsetMinutes } from '../engine/averaging/grid.ts'
import { engineVersion } from '../engine/engine-version.ts'
import type { RecordedEvent } from '../engine/events.ts'
import type { EngineOutput, ReadingOutput } from '../engine/outputs.ts'
import type { StationFile } from '../engine/settings/station-file.ts'
import type { EngineState } from '../engine/state.ts'
import type { Unnumbered } from '../http/station-face.ts'
import { averageLengths, statedResults } from './average-infos.ts'
import { channelInfos, limitInfos } from './channel-infos.ts'
import { CycleWatch } from './cycle-watch.ts'
import { eventEntry, outputEntry } from './logbook.ts'

/** How much of the past a snapshot carries; a page asks for more where it needs it. */
const keptEntries = 200
const keptSpans = 400
const keptBlocks = 600
/** So many blocks are held at most. */
export const mostBlocks = 2 * keptBlocks

/** What only the surroundings of the engine know. */
export interface ViewSurroundings {
  readonly mode: 'live' | 'replay'
  readonly invented: boolean
  now(): number
  speed(): number
  run(): SnapshotMessage['run']
  recording(): SnapshotMessage['recording']
  playback(): SnapshotMessage['playback']
  warnings(): readonly string[]
  /** The engine whose averages are in force, where it is another than the one lived through. */
  inForce?(): EngineState | null
  /** What is taken out of the averages. */
  exclusions?(): Amendments['exclusions']
}

/** The newest reading of a stream, and when its line came. */
interface NewestReading {
  readonly output: ReadingOutput
  readonly arrivedMs: number
}

interface LinkSeen {
  link: StreamState['link']
  sinceMs: number
  detail: string
  attempt: number
}

/** The picture of a station for screens, kept up to date from the engine's inputs and outputs; the same for live and replay. */
export class LiveView {
  private readonly station: StationFile
  private readonly engine: EngineState
  private readonly around: ViewSurroundings
  private readonly links = new Map<string, LinkSeen>()
  private readonly readings = new Map<string, NewestReading>()
  private readonly cycles = new Map<string, CycleWatch>()
  private readonly rolling = new Map<string, AverageRow>()
  private recentBlocks: AverageRow[] = []
  private entries: LogbookEntry[] = []
  private spans: PhaseSpan[] = []
  private plant: SnapshotMessage['plant']

  constructor(station: StationFile, engine: EngineState, around: ViewSurroundings) {
    this.station = station
    this.engine = engine
    this.around = around
    this.plant = { state: engine.context.plant.latest, sinceMs: around.now() }
    for (const { id } of station.streams) {
      this.links.set(id, { link: 'waiting', sinceMs: around.now(), detail: '', attempt: 0 })
      this.cycles.set(id, new CycleWatch())
    }
  }

  /** An input went through the engine and gave these outputs: what screens hear of it. */
  take(event: RecordedEvent, outputs: readonly EngineOutput[]): Unnumbered[] {
    const told: Unnumbered[] = []
    this.takeIn(event, outputs, told)
    return told
  }

  /** The same where no screen hears of it: on the way to an instant of a replay nothing is put in words that nobody reads. */
  pass(event: RecordedEvent, outputs: readonly EngineOutput[]): void {
    this.takeIn(event, outputs, null)
  }

  private takeIn(event: RecordedEvent, outputs: readonly EngineOutput[], told: Unnumbered[] | null): void {
    if (event.kind === 'link') {
      this.links.set(event.stream, {
        link: event.state,
        sinceMs: event.atMs,
        detail: event.detail,
        attempt: event.attempt,
      })
      told?.push({ type: 'stream', stream: this.streamState(event.stream) })
    }
    const entry = eventEntry(event)
    if (entry) this.enter(entry, told)
    this.takeOutputs(outputs, told)
    const { latest } = this.engine.context.plant
    if (latest !== this.plant.state) {
      this.plant = { state: latest, sinceMs: event.atMs }
      told?.push({ type: 'plant', plant: this.plant })
    }
  }

  takeOutputs(outputs: readonly EngineOutput[], told: Unnumbered[] | null): void {
    for (const output of outputs) {
      const entry = outputEntry(output)
      if (entry) this.enter(entry, told)
      switch (output.kind) {
        case 'reading': {
          const stream = this.engine.streamById.get(output.stream)
          const newest = { output, arrivedMs: stream?.lastArrivalMs ?? output.atMs }
          const before = this.readings.get(output.stream)
          this.readings.set(output.stream, newest)
          told?.push({ type: 'reading', reading: this.readingState(newest), lines: stream?.lines ?? 0 })
          if (before?.output.phase !== output.phase)
            told?.push({ type: 'stream', stream: this.streamState(output.stream) })
          break
        }
        case 'phase-span': {
          const { kind: _, ...span } = output
          this.cycles.get(span.stream)?.take(span)
          this.spans = [
            ...this.spans.filter((other) => !(other.stream === span.stream && other.startMs === span.startMs)),
            span,
          ].slice(-keptSpans)
          told?.push({ type: 'phase-span', span })
          break
        }
        case 'block':
          this.placeBlock(output.row, output.revises !== undefined)
          if (this.recentBlocks.length > mostBlocks) this.recentBlocks = this.recentBlocks.slice(-keptBlocks)
          told?.push({ type: 'block', row: output.row })
          break
        case 'rolling': {
          const key = averageKey({ ...output.row, startMs: 0 })
          // What is told again lies behind; only the newest is on screens.
          if (output.row.startMs < (this.rolling.get(key)?.startMs ?? Number.NEGATIVE_INFINITY)) break
          this.rolling.set(key, output.row)
          told?.push({ type: 'rolling', row: output.row })
          break
        }
        case 'alarm':
          told?.push({
            type: 'alarm',
            standing: [...this.engine.context.alarms.standing()],
            transition: output.transition,
          })
          break
        default:
          break
      }
    }
  }

  /** A row that is told again takes the place of the earlier. */
  private placeBlock(row: AverageRow, isAgain: boolean): void {
    const key = averageKey(row)
    const place = isAgain ? this.recentBlocks.findLastIndex((other) => averageKey(other) === key) : -1
    if (place >= 0) this.recentBlocks[place] = row
    else this.recentBlocks.push(row)
  }

  /** Other averages are in force than those that were told; these are the newest of them. */
  showAverages(blocks: readonly AverageRow[], rolling: readonly AverageRow[]): void {
    this.recentBlocks = [...blocks]
    this.rolling.clear()
    for (const row of rolling) this.rolling.set(averageKey({ ...row, startMs: 0 }), row)
  }

  /** What changes by itself as time passes: running blocks, durations, what is stored. */
  running(): Unnumbered {
    const openBlocks = this.openBlocks()
    return {
      type: 'running',
      openBlocks,
      outlooks: this.outlooks(),
      run: this.around.run(),
      recording: this.around.recording(),
      clock: this.clock(),
    }
  }

  snapshot(): Omit<SnapshotMessage, 'sequence'> {
    const { station, around, engine } = this
    const openBlocks = this.openBlocks()
    const { validity } = station.averaging
    return {
      type: 'snapshot',
      protocol: liveProtocolVersion,
      version: engineVersion,
      mode: around.mode,
      invented: around.invented,
      station: station.station.name,
      clock: this.clock(),
      playback: around.playback(),
      run: around.run(),
      recording: around.recording(),
      streams: station.streams.map(({ id }) => this.streamState(id)),
      plant: this.plant,
      channels: channelInfos(station, engine.context),
      limits: limitInfos(engine.context),
      averages: {
        ...averageLengths(station),
        align: station.averaging.align,
        validity:
          validity.rule === 'fraction'
            ? `at least ${validity.minimum} of the time`
            : validity.rule === 'minutes'
              ? `at least ${validity.minimum} counted minutes`
              : 'a counted reading in each quarter of an hour',
      },
      results: statedResults(station),
      readings: [...this.readings.values()].map((newest) => this.readingState(newest)),
      openBlocks,
      rolling: [...this.rolling.values()],
      recentBlocks: this.recentBlocks.slice(-keptBlocks),
      outlooks: this.outlooks(),
      alarms: [...engine.context.alarms.standing()],
      logbook: this.entries,
      phaseSpans: this.spans,
      warnings: [...around.warnings()],
      exclusions: [...(around.exclusions?.() ?? [])],
      operatorTells: this.operatorTells,
    }
  }

  /** What the station file lets an operator tell; elsewhere a mark would have no effect. */
  get operatorTells(): { readonly phase: boolean; readonly plant: boolean } {
    const { phases, plantState } = this.station
    return { phase: phases.from.includes('operator'), plant: plantState.from === 'operator' }
  }

  private openBlocks(): AverageRow[] {
    const engine = this.around.inForce?.() ?? this.engine
    return [
      ...engine.streams.flatMap((stream) => stream.averages.openRows()),
      ...(engine.context.crossStream?.openRows() ?? []),
    ]
  }

  private outlooks(): SnapshotMessage['outlooks'] {
    return this.engine.streams.flatMap((stream) => [...stream.averages.outlooks()])
  }

  private clock(): SnapshotMessage['clock'] {
    const now = this.around.now()
    const { timeZone, standardTime } = this.station.station
    const offsetMinutes = standardTime ? standardOffsetMinutes(timeZone, now) : IANAZone.create(timeZone).offset(now)
    return { stationMs: now, speed: this.around.speed(), zone: timeZone, standardTime, offsetMinutes }
  }

  /** In order of their times, which is not quite that of telling: a page asks for what lies before the first of them. */
  private enter(entry: LogbookEntry, told: Unnumbered[] | null): void {
    const place = this.entries.findLastIndex(({ atMs }) => atMs <= entry.atMs) + 1
    this.entries = this.entries.toSpliced(place, 0, entry).slice(-keptEntries)
    told?.push({ type: 'logbook', entry })
  }

  private readingState({ output, arrivedMs }: NewestReading): ReadingState {
    const own = (value: number | undefined): number | null =>
      value === undefined || Number.isNaN(value) ? null : value
    const stream = this.engine.streamById.get(output.stream)
    const values: ReadingState['values'] = {}
    for (const { index, settings } of stream?.channels ?? []) {
      values[settings.id] = {
        asRead: own(output.asRead[index]),
        corrected: own(output.corrected[index]),
        referred: own(output.referred[index]),
        flag: output.flags[index] ?? 0,
      }
    }
    return {
      stream: output.stream,
      atMs: output.atMs,
      arrivedMs,
      phase: output.phase,
      plant: output.plant,
      values,
    }
  }

  private streamState(id: string): StreamState {
    const stream = this.engine.streamById.get(id)
    const link = this.links.get(id) ?? { link: 'waiting' as const, sinceMs: 0, detail: '', attempt: 0 }
    const settings = this.station.streams.find((candidate) => candidate.id === id)
    const live = stream?.live
    const since = live && !Number.isNaN(live.startMs) ? live.startMs : this.around.now()
    return {
      id,
      source: settings?.source.kind ?? 'file',
      link: link.link,
      linkSinceMs: link.sinceMs,
      linkDetail: link.detail,
      attempt: link.attempt,
      lastLineMs: stream && !Number.isNaN(stream.lastArrivalMs) ? stream.lastArrivalMs : null,
      expectEverySeconds: settings?.expectEverySeconds ?? 1,
      lines: stream?.lines ?? 0,
      refused: Object.fromEntries(stream?.refused.unreadable ?? []),
      phase: live?.phase ?? 'unknown',
      phaseSinceMs: since,
      phaseCause: live?.cause ?? 'nothing-told',
      phaseInferred: live?.cause === 'signal',
      next: this.next(id),
    }
  }

  private next(id: string): StreamState['next'] {
    const stream = this.engine.streamById.get(id)
    if (!stream) return null
    if (stream.live.phase === 'settle') return { phase: 'measure', atMs: stream.live.settledMs(), known: 'settling' }
    const scheduled = stream.nextScheduled()
    if (scheduled) return { ...scheduled, known: 'schedule' }
    return this.cycles.get(id)?.next(stream.live.phase, stream.live.startMs) ?? null
  }
}
