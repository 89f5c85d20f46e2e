import { createHash } from 'node:crypto'
import { existsSync, readFileSync } from 'node:fs'
import { basename, dirname } from 'node:path'
import { z } from 'zod'
import { formWords, type LineProfile } from '../../../protocols/instrument/profile.ts'
import { plainProfile } from '../../../protocols/instrument/propose/plain-profile.ts'
import { previewLines } from '../../../protocols/instrument/propose/preview.ts'
import { proposeProfile } from '../../../protocols/instrument/propose/propose.ts'
import { harmlessRefusals, refusalWords } from '../../../protocols/instrument/reader.ts'
import { zoneTime } from '../../../protocols/instrument/zone-time.ts'
import type { HeardAnswer, PreviewAnswer, SettingFault, WriteRequest } from '../../../protocols/live/set-up.ts'
import { lineSource } from '../../engine/settings/line-sources.ts'
import { readProfile } from '../../engine/settings/read-profile.ts'
import { isRecord } from '../../engine/settings/regimes.ts'
import { shapeFaults } from '../../engine/settings/shape-faults.ts'
import { type Done, noPreview, type SetUpFace } from '../../http/set-up-face.ts'
import { writeWhole } from '../../reports/atomic-file.ts'
import { listPorts } from '../../sources/ports.ts'
import { type Fault, loadStationFile, openSettingsOf, stationOf, stationSchema } from '../load-station-file.ts'
import { pathText, readSettingsText } from '../settings-text.ts'
import type { StationHost } from '../station-host.ts'
import { lineDifference } from './line-difference.ts'
import { isSameSource, Trial, type TrialSource } from './trial.ts'

export interface SetUpOptions {
  /** The station file that is read and written. */
  readonly file: string
  readonly host: StationHost
}

type Settings = Readonly<Record<string, unknown>>

const shownNew = 8
const shownRefused = 4
const nothingHeard: HeardAnswer = {
  link: 'closed',
  detail: 'not listening',
  own: false,
  lines: 0,
  everySeconds: null,
  recent: [],
}
const refuse = (status: number, ...errors: string[]): Done<never> => ({ ok: false, refusal: { status, errors } })
const textOf = (station: Settings): string => `${JSON.stringify(station, null, 2)}\n`
const sealOf = (text: string): string => createHash('sha256').update(text).digest('hex')

/** Setting a station up from the browser: a source on trial, a profile for its lines, and the station file that results. */
export class SetUp implements SetUpFace {
  private readonly options: SetUpOptions
  private trial: Trial | null = null
  /** While a file is written and taken up, no port is opened beside the station. */
  private isWriting = false

  constructor(options: SetUpOptions) {
    this.options = options
  }

  private content(): string | null {
    return existsSync(this.options.file) ? readFileSync(this.options.file, 'utf8') : null
  }

  state(): ReturnType<SetUpFace['state']> {
    const { file, host } = this.options
    const content = this.content()
    const value = content === null ? null : readSettingsText(file, content).value
    const loaded = content === null ? null : loadStationFile(file)
    const profiles = loaded?.ok
      ? loaded.station.streams.flatMap(({ id, profile }) =>
          typeof profile === 'object' ? [[id, plainProfile(profile)] as const] : [],
        )
      : []
    return {
      available: true,
      why: '',
      file,
      state: host.state,
      pending: host.isPending,
      seen: content === null ? null : sealOf(content),
      station: isRecord(value) ? value : null,
      profiles: Object.fromEntries(profiles),
    }
  }

  ports(): ReturnType<SetUpFace['ports']> {
    return listPorts()
  }

  schema(): Settings {
    return stationSchema()
  }

  async listen({ source: raw, poll }: Parameters<SetUpFace['listen']>[0]): ReturnType<SetUpFace['listen']> {
    const read = lineSource.safeParse(raw)
    if (!read.success)
      return refuse(
        400,
        ...shapeFaults(read.error.issues, z.toJSONSchema(lineSource, { io: 'input' }), raw).map(
          ({ path, message }) => `${pathText(path)}: ${message}`,
        ),
      )
    const source = read.data
    if (source.kind === 'playback' || source.kind === 'simulator')
      return refuse(400, 'kind: a serial port, a TCP address or a file can be listened to')
    await this.stopListening()
    await this.options.host.settled()
    if (this.isWriting) return refuse(409, 'the station file is being written: listen again in a moment')
    this.trial = new Trial(source, poll, this.ownLines(source))
    return { ok: true, value: this.heard() }
  }

  /** The lines that the running station hears from this source: a port is never opened twice. */
  private ownLines(source: TrialSource) {
    const { host } = this.options
    const stream = host.settings?.streams.find((each) => isSameSource(each.source, source))
    return stream ? host.heldOf(stream.id) : null
  }

  heard(): HeardAnswer {
    return this.trial?.heard() ?? nothingHeard
  }

  async stopListening(): Promise<void> {
    const { trial } = this
    this.trial = null
    await trial?.close()
  }

  propose(): ReturnType<SetUpFace['propose']> {
    const { trial } = this
    const lines = trial?.held.whole() ?? []
    if (!trial || lines.length === 0) return refuse(409, 'no whole line has been heard yet')
    const { source } = trial
    const proposal = proposeProfile(
      lines.map(({ bytes }) => bytes),
      { name: 'Instrument', byPosition: source.kind !== 'file' || source.from !== 'start' },
    )
    if (!proposal.ok)
      return {
        ok: true,
        value: {
          ok: false,
          tried: proposal.tried.map(({ form, why }) => ({ form: formWords[form], why })),
          kinds: [...proposal.kinds],
        },
      }
    const { confidence, guesses, columns, unnamed, stepSeconds } = proposal
    return {
      ok: true,
      value: {
        ok: true,
        profile: plainProfile(proposal.profile),
        confidence,
        guesses: guesses.map((guess) =>
          guess.what === 'form' ? { ...guess, value: formWords[proposal.profile.form] } : guess,
        ),
        columns: columns.map(({ samples, unknown, ...column }) => ({
          ...column,
          unknown: [...unknown],
          samples: [...samples],
        })),
        unnamed: [...unnamed],
        stepSeconds,
      },
    }
  }

  preview(raw: Settings, timeZone: string): PreviewAnswer {
    const read = profileOf(raw)
    if (!read.ok) return noPreview(read.faults)
    const zone = zoneTime(timeZone) ? timeZone : 'UTC'
    const lines = previewLines(read.profile, this.trial?.held.whole() ?? [], zone)
    const refused: Record<string, number> = {}
    for (const { read: outcome } of lines) if (!outcome.ok) refused[outcome.reason] = (refused[outcome.reason] ?? 0) + 1
    const isRefused = lines.map(({ read: outcome }) => !outcome.ok && !harmlessRefusals.has(outcome.reason))
    const newest = lines.slice(-shownNew)
    const before = lines.slice(0, -shownNew).filter((_, at) => isRefused[at])
    return {
      faults: [],
      lines: lines.length,
      read: lines.filter(({ read: outcome }) => outcome.ok).length,
      harmless: lines.filter(({ read: outcome }) => !outcome.ok && harmlessRefusals.has(outcome.reason)).length,
      refused,
      refusalWords: Object.fromEntries(
        lines.flatMap(({ read: outcome }) => (outcome.ok ? [] : [[outcome.reason, refusalWords[outcome.reason]]])),
      ),
      shown: [...before.slice(-shownRefused), ...newest].map(({ text, read: outcome }) => ({
        text,
        read: outcome.ok
          ? { ...outcome, values: [...outcome.values], status: outcome.status.map((each) => ({ ...each })) }
          : outcome,
      })),
    }
  }

  check(station: Settings): ReturnType<SetUpFace['check']> {
    const { file } = this.options
    const text = textOf(station)
    const read = readSettingsText(file, text)
    const loaded = stationOf(read, dirname(file))
    const before = this.content() ?? ''
    // A line profile in a file of its own has paths of its own.
    const plain = ({ file: at, path, message }: Fault): SettingFault => ({
      path,
      message: at === file ? message : `in ${basename(at)}: ${message}`,
    })
    return {
      faults: loaded.ok ? [] : loaded.faults.map(plain),
      warnings: loaded.ok ? loaded.warnings.map(plain) : [],
      difference: lineDifference(before, text),
      changed: before.trimEnd() !== text.trimEnd(),
      open: openSettingsOf(read, dirname(file)).map(({ path, value, from }) => ({ path: pathText(path), value, from })),
    }
  }

  async write(request: Parameters<SetUpFace['write']>[0]): ReturnType<SetUpFace['write']> {
    if (this.isWriting) return refuse(409, 'the station file is being written already')
    this.isWriting = true
    try {
      return await this.writeAlone(request)
    } finally {
      this.isWriting = false
    }
  }

  private async writeAlone({ station, seen, start }: WriteRequest): ReturnType<SetUpFace['write']> {
    const { file, host } = this.options
    const text = textOf(station)
    const loaded = stationOf(readSettingsText(file, text), dirname(file))
    if (!loaded.ok) return refuse(400, ...loaded.faults.map(({ path, message }) => `${path}: ${message}`))
    const before = this.content()
    if ((before === null ? null : sealOf(before)) !== seen)
      return refuse(409, `${file} was changed meanwhile: open Set-up anew, so that nothing is lost`)
    // The port is given back before the station takes it.
    await this.stopListening()
    // One step back is always possible.
    if (before !== null && before.trimEnd() !== text.trimEnd()) await writeWhole(`${file}.before`, before)
    await writeWhole(file, text)
    try {
      return { ok: true, value: { ok: true, applies: await host.apply(loaded.station, start), file } }
    } catch (error) {
      return refuse(409, `written, but not started: ${error instanceof Error ? error.message : String(error)}`)
    }
  }
}

function profileOf(raw: Settings): { ok: true; profile: LineProfile } | { ok: false; faults: SettingFault[] } {
  const read = readProfile(raw)
  if (read.ok) return read
  return { ok: false, faults: read.findings.map(({ path, message }) => ({ path: pathText(path), message })) }
}
