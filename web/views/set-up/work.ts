import type {
  CheckAnswer,
  FoundPort,
  HeardAnswer,
  PreviewAnswer,
  ProposalAnswer,
  SetUpState,
  WriteAnswer,
} from '../../../protocols/live/set-up.ts'
import { type BuiltStation, builtPoll, builtSource, builtStation } from './built-station.ts'
import {
  type ColumnDraft,
  columnsOf,
  type LimitDraft,
  limitsOf,
  type SourceDraft,
  type StationDraft,
  sourceOf,
  stationDraftOf,
  streamsIn,
  usualUnit,
} from './draft.ts'
import {
  askCheck,
  askHeard,
  askPorts,
  askPreview,
  askProposal,
  askState,
  listenTo,
  type Settings,
  stopListening,
  writeStation,
} from './questions.ts'

/** So many lines are waited for before a profile is proposed by itself. */
const firstProposalAfter = 5
const askEveryMs = 1000

/** The set-up as it stands on this page: what was heard, what was proposed, what was chosen. `changed`: to be drawn anew. */
export class SetUpWork {
  state: SetUpState | null = null
  error = ''
  ports: readonly FoundPort[] | null = null
  source: SourceDraft | null = null
  isListening = false
  listenErrors: readonly string[] = []
  heard: HeardAnswer | null = null
  proposal: ProposalAnswer | null = null
  profile: Settings | null = null
  isProfileNew = false
  preview: PreviewAnswer | null = null
  columns: ColumnDraft[] = []
  /** Status field → words that came or were typed and tell nothing yet. */
  strangeWords = new Map<string, ReadonlySet<string>>()
  station: StationDraft | null = null
  limits: LimitDraft[] = []
  built: BuiltStation | null = null
  check: CheckAnswer | null = null
  isWriting = false
  writeErrors: readonly string[] = []
  written: WriteAnswer | null = null
  private readonly changed: () => void
  private timer: number | null = null
  private isAsking = false
  private readonly leave = (): void => this.stop()

  constructor(changed: () => void) {
    this.changed = changed
  }

  async open(): Promise<void> {
    window.addEventListener('pagehide', this.leave)
    const [state, ports] = await Promise.all([askState(), askPorts()])
    this.ports = ports.ok ? ports.value : []
    if (!state.ok) this.error = state.errors.join(' ')
    else this.take(state.value)
    this.changed()
  }

  private take(state: SetUpState): void {
    this.state = state
    this.error = ''
    this.source = sourceOf(state)
    const [port] = this.ports ?? []
    if (state.station === null && port === undefined) this.source.kind = 'tcp'
    if (this.source.path === '' && port !== undefined) this.source.path = port.recommended
    this.station = stationDraftOf(state)
    this.limits = limitsOf(state)
    const stream = String(streamsIn(state.station)[0]?.id ?? 'main')
    this.profile = state.profiles[stream] ?? null
    this.isProfileNew = false
    this.columns = this.profile ? columnsOf(this.profile, null, state.station, stream) : []
  }

  close(): void {
    window.removeEventListener('pagehide', this.leave)
    this.stop()
  }

  /** Gives the port back. */
  stop(): void {
    if (this.timer !== null) clearInterval(this.timer)
    this.timer = null
    if (this.isListening) stopListening()
    this.isListening = false
    this.changed()
  }

  async listen(): Promise<void> {
    if (!this.source) return
    this.listenErrors = []
    const answer = await listenTo(builtSource(this.source), builtPoll(this.source))
    if (!answer.ok) {
      this.listenErrors = answer.errors
      this.changed()
      return
    }
    this.heard = answer.value
    this.isListening = true
    if (this.timer === null) this.timer = window.setInterval(() => void this.tick(), askEveryMs)
    this.changed()
  }

  private async tick(): Promise<void> {
    if (this.isAsking) return
    this.isAsking = true
    try {
      const heard = await askHeard()
      if (!heard.ok || !this.isListening) return
      this.heard = heard.value
      if (heard.value.link === 'closed') this.stop()
      if (this.profile === null && this.proposal === null && heard.value.lines > firstProposalAfter)
        await this.propose()
      else if (this.profile !== null) await this.look()
    } finally {
      this.isAsking = false
      this.changed()
    }
  }

  /** A profile from the lines heard, in place of the one that is there. */
  async propose(): Promise<void> {
    const answer = await askProposal()
    if (!answer.ok) this.listenErrors = answer.errors
    else {
      this.proposal = answer.value
      if (answer.value.ok) {
        const { profile, stepSeconds } = answer.value
        const stream = String(streamsIn(this.state?.station ?? null)[0]?.id ?? 'main')
        this.profile = profile
        this.isProfileNew = true
        this.strangeWords = new Map(
          answer.value.columns.flatMap(({ field, unknown }) => (field ? [[field, new Set(unknown)] as const] : [])),
        )
        this.columns = columnsOf(profile, answer.value, this.state?.station ?? null, stream)
        const every = this.heard?.everySeconds ?? stepSeconds
        if (this.station && this.station.everySeconds === '' && every !== null)
          this.station.everySeconds = String(every)
        await this.look()
      }
    }
    this.changed()
  }

  /** A setting of the profile, put in place of what is there; undefined takes it out. */
  setProfile(key: string, value: unknown): void {
    if (!this.profile) return
    const { [key]: _, ...rest } = this.profile
    this.profile = value === undefined ? rest : { ...rest, [key]: value }
    this.isProfileNew = true
    this.edited()
    void this.look().then(this.changed)
  }

  private async look(): Promise<void> {
    if (!this.profile || !this.heard) return
    const answer = await askPreview(this.profile, this.station?.timeZone ?? 'UTC')
    if (answer.ok) this.preview = answer.value
  }

  /** A word of the instrument that is still to be chosen for. */
  addWord(field: string, word: string): void {
    this.strangeWords = new Map(this.strangeWords).set(field, new Set([...(this.strangeWords.get(field) ?? []), word]))
    this.changed()
  }

  takeUsualUnits(): void {
    for (const column of this.columns)
      if (column.what !== '' && column.unit === '') {
        column.unit = usualUnit(column.what)
        column.isUsualUnit = true
      }
    this.edited()
  }

  /** Something was changed by hand: what was checked before no longer holds. */
  edited(): void {
    this.check = null
    this.written = null
    this.writeErrors = []
    this.changed()
  }

  private build(): BuiltStation | null {
    const { source, station, profile, isProfileNew, columns, limits } = this
    if (!source || !station) return null
    this.built = builtStation(this.state?.station ?? null, { source, station, profile, isProfileNew, columns, limits })
    return this.built
  }

  async checkAll(): Promise<void> {
    const built = this.build()
    if (!built) return
    const answer = await askCheck(built.station)
    if (answer.ok) this.check = answer.value
    this.writeErrors = answer.ok ? [] : answer.errors
    this.changed()
  }

  async write(): Promise<void> {
    const built = this.build()
    if (!built || !this.state) return
    this.isWriting = true
    this.changed()
    const answer = await writeStation({ station: built.station, seen: this.state.seen, start: true })
    this.isWriting = false
    if (!answer.ok) {
      this.writeErrors = answer.errors
      const now = await askState()
      // Written, but not started: the file is ours, and the next try may write over it.
      if (now.ok && JSON.stringify(now.value.station) === JSON.stringify(built.station)) this.state = now.value
    } else {
      this.stop()
      this.written = answer.value
      this.check = null
      this.writeErrors = []
      const state = await askState()
      if (state.ok) this.take(state.value)
    }
    this.changed()
  }

  /** The faults that the station found at this path or below it. */
  faultsAt(path: string): readonly string[] {
    return (this.check?.faults ?? [])
      .filter((fault) => fault.path === path || fault.path.startsWith(`${path}.`) || fault.path.startsWith(`${path}[`))
      .map(({ message }) => message)
  }

  /** The same for a setting of a column’s channel. */
  faultsOfColumn(column: ColumnDraft, key: string): readonly string[] {
    const place = this.built?.placeOf.get(column.field)
    return place === undefined ? [] : this.faultsAt(`channels[${place}].${key}`)
  }
}
