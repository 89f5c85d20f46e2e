import type {
  CheckAnswer,
  FoundPort,
  HeardAnswer,
  PreviewAnswer,
  ProposalAnswer,
  SetUpState,
  WriteAnswer,
} from '../../../protocols/live/set-up.ts'
import { builtPoll, builtSource } from './built-station.ts'
import { type ColumnDraft, channelsIn, streamsIn, usualUnit } from './draft.ts'
import { EditedStation } from './edited-station.ts'
import type { Settings, SetUpAsks } from './questions.ts'
import { liesIn } from './settings/at-path.ts'
import { SettingsForm } from './settings/settings-form.ts'

/** So many lines are waited for before a profile is proposed by itself. */
const firstProposalAfter = 5
const askEveryMs = 1000

/** The set-up as it stands on this page: what was heard, what was proposed, what was chosen. `changed`: to be drawn anew. */
export class SetUpWork extends EditedStation {
  state: SetUpState | null = null
  error = ''
  ports: readonly FoundPort[] | null = null
  form: SettingsForm | null = null
  isListening = false
  listenErrors: readonly string[] = []
  heard: HeardAnswer | null = null
  proposal: ProposalAnswer | null = null
  preview: PreviewAnswer | null = null
  /** Status field → words that came or were typed and tell nothing yet. */
  strangeWords = new Map<string, ReadonlySet<string>>()
  /** What the station said when it was asked what would be written; gone with the next edit. */
  check: CheckAnswer | null = null
  /** What it said of the last edit, for the form of all settings. */
  private review: CheckAnswer | null = null
  private reviews = 0
  /** Faults are told once something was set in the form, or the whole was looked over: not to somebody who has just begun. */
  private tellsFaults = false
  /** The stream that is shown was asked to be removed; a second word does it. */
  isRemoving = false
  isWriting = false
  writeErrors: readonly string[] = []
  written: WriteAnswer | null = null
  private readonly changed: () => void
  /** Put together once for each picture: the form asks for it with every field. */
  private builtNow: Settings | null = null
  private timer: number | null = null
  private isAsking = false
  private readonly leave = (): void => this.stop()

  constructor(
    changed: () => void,
    private readonly asks: SetUpAsks,
  ) {
    super()
    this.changed = () => {
      this.builtNow = null
      changed()
    }
  }

  async open(): Promise<void> {
    window.addEventListener('pagehide', this.leave)
    const [state, ports] = await Promise.all([this.asks.state(), this.asks.ports()])
    this.ports = ports.ok ? ports.value : []
    if (!state.ok) this.error = state.errors.join(' ')
    else this.take(state.value)
    this.changed()
    if (state.ok && state.value.available) await this.openForm()
  }

  private async openForm(): Promise<void> {
    const schema = await this.asks.schema()
    if (!schema.ok) return
    this.form = new SettingsForm(schema.value, {
      edited: () => (this.builtNow ??= this.built()?.station ?? {}),
      faults: () => (this.tellsFaults ? ((this.check ?? this.review)?.faults ?? []) : []),
      open: () => (this.check ?? this.review)?.open ?? [],
      put: (path, value) => {
        this.tellsFaults = true
        this.putSetting(path, value)
        this.proposePort()
        this.edited()
      },
      redraw: this.changed,
    })
    this.changed()
    await this.lookOver()
  }

  private take(state: SetUpState): void {
    this.state = state
    this.error = ''
    this.takeFile(state)
    this.proposePort()
  }

  /** A port that no other stream has, for a stream that has none; where there is no port, an address is asked for. */
  private proposePort(): void {
    const { source } = this
    if (!source || source.raw.kind === 'serial') return
    const taken = streamsIn(this.settled).map(({ source: other }) => (other as Settings | undefined)?.path)
    const port = this.ports?.find(({ recommended }) => !taken.includes(recommended))
    if (port) source.path = port.recommended
    else if (source.raw.kind === undefined) source.kind = 'tcp'
  }

  /** The steps go over to another stream; what was heard belongs to the last one. */
  otherStream(go: () => void): void {
    this.stop()
    go()
    this.heard = null
    this.proposal = null
    this.preview = null
    this.listenErrors = []
    this.strangeWords = new Map()
    this.isRemoving = false
    this.proposePort()
    this.edited()
  }

  close(): void {
    window.removeEventListener('pagehide', this.leave)
    this.stop()
  }

  /** Gives the port back. */
  stop(): void {
    if (this.timer !== null) clearInterval(this.timer)
    this.timer = null
    if (this.isListening) this.asks.stopListening()
    this.isListening = false
    this.changed()
  }

  async listen(): Promise<void> {
    if (!this.source) return
    this.listenErrors = []
    const answer = await this.asks.listen(builtSource(this.source), builtPoll(this.source))
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
      const heard = await this.asks.heard()
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
    const answer = await this.asks.proposal()
    if (!answer.ok) this.listenErrors = answer.errors
    else {
      this.proposal = answer.value
      if (answer.value.ok) {
        const { profile, stepSeconds } = answer.value
        this.takeProposal(profile, answer.value)
        this.strangeWords = new Map(
          answer.value.columns.flatMap(({ field, unknown }) => (field ? [[field, new Set(unknown)] as const] : [])),
        )
        const every = this.heard?.everySeconds ?? stepSeconds
        if (this.station && this.station.everySeconds === '' && every !== null)
          this.station.everySeconds = String(every)
        await this.look()
        this.edited()
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
    const answer = await this.asks.preview(this.profile, this.station?.timeZone ?? 'UTC')
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
    void this.lookOver()
  }

  /** Asks the station what it makes of the edits: what is at fault, and what holds where nothing is set. */
  private async lookOver(): Promise<void> {
    const built = this.built()
    if (!built || !this.form) return
    const number = ++this.reviews
    const answer = await this.asks.check(built.station)
    if (!answer.ok || number !== this.reviews) return
    this.review = answer.value
    this.changed()
  }

  /** Whether there is something that could be written. */
  get isSomethingChosen(): boolean {
    return this.columns.some(({ what }) => what !== '') || channelsIn(this.settled).length > 0
  }

  async checkAll(): Promise<void> {
    const built = this.built()
    if (!built) return
    const answer = await this.asks.check(built.station)
    this.tellsFaults = true
    if (answer.ok) {
      this.reviews++
      this.check = answer.value
      this.review = answer.value
    }
    this.writeErrors = answer.ok ? [] : answer.errors
    this.changed()
  }

  async write(): Promise<void> {
    const built = this.built()
    if (!built || !this.state) return
    this.isWriting = true
    this.changed()
    const answer = await this.asks.write({ station: built.station, seen: this.state.seen, start: true })
    this.isWriting = false
    if (!answer.ok) {
      this.writeErrors = answer.errors
      const now = await this.asks.state()
      // Written, but not started: the file is ours, and the next try may write over it.
      if (now.ok && JSON.stringify(now.value.station) === JSON.stringify(built.station)) this.state = now.value
    } else {
      this.stop()
      this.written = answer.value
      this.check = null
      this.writeErrors = []
      const state = await this.asks.state()
      if (state.ok) this.take(state.value)
      void this.lookOver()
    }
    this.changed()
  }

  /** The faults that the station found at this path or below it. */
  faultsAt(path: string): readonly string[] {
    return (this.check?.faults ?? []).filter((fault) => liesIn(fault.path, path)).map(({ message }) => message)
  }

  /** The same for a setting of a column’s channel. */
  faultsOfColumn(column: ColumnDraft, key: string): readonly string[] {
    const place = this.built()?.placeOf(column.field)
    return place === undefined ? [] : this.faultsAt(`channels[${place}].${key}`)
  }
}
