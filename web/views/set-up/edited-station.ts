import type { ProposalAnswer, SetUpState } from '../../../protocols/live/set-up.ts'
import { type BuiltStation, builtStation } from './built-station.ts'
import {
  type ColumnDraft,
  channelsIn,
  columnsOf,
  type LimitDraft,
  limitsOf,
  list,
  record,
  type SourceDraft,
  type StationDraft,
  sourceOf,
  stationDraftOf,
  streamId,
  streamsIn,
} from './draft.ts'
import type { Settings } from './questions.ts'
import { type Path, withValue } from './settings/at-path.ts'

/**
 * The station file as it is being edited: the file that was taken, the fields of the steps laid over it, and settings
 * put into it one by one. The steps show one of its streams at a time.
 */
export class EditedStation {
  /** The file as it was taken or put together last; the fields below are laid over it. null: there is none yet. */
  private base: Settings | null = null
  /** Line profiles that the station file names, by name. */
  private named: ReadonlyMap<string, Settings> = new Map()
  place = 0
  source: SourceDraft | null = null
  station: StationDraft | null = null
  limits: LimitDraft[] = []
  profile: Settings | null = null
  isProfileNew = false
  columns: ColumnDraft[] = []

  /** Takes a file up as it is on the disk; what was edited is given up. */
  takeFile({ station, profiles }: SetUpState): void {
    const told = streamsIn(station).map(({ id, profile }) => [String(profile), profiles[String(id)]] as const)
    this.named = new Map(told.flatMap(([name, profile]) => (profile ? [[name, profile] as const] : [])))
    this.base = station
    this.place = Math.min(this.place, Math.max(0, streamsIn(station).length - 1))
    this.fillFields()
    this.profile = profiles[this.stream] ?? this.profile
    this.columns = this.profile ? columnsOf(this.profile, null, station, this.stream) : []
  }

  get stream(): string {
    return streamId(this.base, this.place)
  }
  /** Ids of all streams, in the order of the file. */
  get streams(): readonly string[] {
    return streamsIn(this.base).map((_, place) => streamId(this.base, place))
  }
  /** The file as it was put together last, for what no field changes. */
  get settled(): Settings | null {
    return this.base
  }

  /** The station file with all that was edited. */
  built(): BuiltStation | null {
    const { place, source, station, profile, isProfileNew, columns, limits } = this
    if (!source || !station) return null
    return builtStation(this.base, { place, source, station, profile, isProfileNew, columns, limits })
  }

  /** Puts one setting in its place, undefined takes it out; the fields of the steps follow. */
  putSetting(path: Path, value: unknown): void {
    this.rebuild((station) => withValue(station, path, value) as Settings)
  }

  showStream(place: number): void {
    this.rebuild((station) => station, place)
  }
  addStream(): void {
    const id = this.freeName('second')
    this.rebuild(
      (station) => ({ ...station, streams: [...streamsIn(station), { id }] }),
      Math.max(1, this.streams.length),
    )
  }
  /** A name that no stream has but the one in `place`; `-2` and so on behind one that is taken. */
  private freeName(asked: string, place = -1): string {
    const taken = this.streams.filter((_, at) => at !== place)
    let name = asked
    for (let next = 2; taken.includes(name); next++) name = `${asked}-${next}`
    return name
  }
  /** Takes the stream out that the steps show, with its channels and their limits. */
  removeStream(): void {
    const { place, stream } = this
    const gone = this.channelsOfStream()
    this.rebuild(
      (station) => ({
        ...station,
        streams: streamsIn(station).filter((_, at) => at !== place),
        channels: channelsIn(station).filter((channel) => channel.stream !== stream),
        ...(station.limits === undefined
          ? {}
          : { limits: list(station.limits).filter(({ channel }) => !gone.includes(String(channel))) }),
      }),
      Math.max(0, place - 1),
    )
  }
  /** A stream’s new name, also in its channels. Never that of another: whose channels are whose would be lost. */
  renameStream(asked: string): void {
    const { place, stream } = this
    const id = this.freeName(asked, place)
    this.rebuild((station) => ({
      ...station,
      streams: streamsIn(station).map((one, at) => (at === place ? { ...one, id } : one)),
      channels: channelsIn(station).map((one) => (one.stream === stream ? { ...one, stream: id } : one)),
    }))
  }
  channelsOfStream(): readonly string[] {
    return channelsIn(this.built()?.station ?? null)
      .filter(({ stream }) => stream === this.stream)
      .map(({ id }) => String(id))
  }

  /** The columns of a profile that was proposed. */
  takeProposal(profile: Settings, proposal: ProposalAnswer): void {
    this.profile = profile
    this.isProfileNew = true
    this.columns = columnsOf(profile, proposal, this.base, this.stream)
  }

  private rebuild(change: (station: Settings) => Settings, place = this.place): void {
    const built = this.built()
    if (!built) return
    this.base = change(built.station)
    const before = place === this.place ? this.columns : []
    this.place = Math.max(0, Math.min(place, streamsIn(this.base).length - 1))
    this.fillFields()
    // What the lines told of a column is in no station file: it is carried over.
    this.columns = this.columns.map((column) => {
      const same = before.find(({ field }) => field === column.field)
      if (!same) return column
      const { label, samples, confidence, reason } = same
      const isUsualUnit = same.isUsualUnit && same.unit === column.unit
      // What is used stands in the file by now; what does not was taken out.
      const what = Object.keys(column.raw).length > 0 ? column.what : ''
      return { ...column, label, samples, confidence, reason, isUsualUnit, what }
    })
  }

  private fillFields(): void {
    const { base, place } = this
    this.source = sourceOf(base, place)
    this.station = stationDraftOf(base, place)
    this.limits = limitsOf(base)
    const own = streamsIn(base)[place]?.profile
    this.profile = typeof own === 'string' ? (this.named.get(own) ?? null) : own === undefined ? null : record(own)
    this.isProfileNew = false
    this.columns = this.profile ? columnsOf(this.profile, null, base, this.stream) : []
  }
}
