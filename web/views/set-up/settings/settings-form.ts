import type { CheckAnswer, SettingFault } from '../../../../protocols/live/set-up.ts'
import * as settingTexts from '../../../texts/settings.ts'
import { isRecord, liesIn, type Path, pathsAlong, pathText, type Settings, valueAt } from './at-path.ts'
import {
  asKind,
  everySetting,
  type FoundSetting,
  type Kind,
  kindOfValue,
  nodeOf,
  type Schema,
  schemaAt,
} from './schema-nodes.ts'
import { helpText, trail, valueText } from './setting-words.ts'

export type OpenSetting = CheckAnswer['open'][number]

/** What the form stands on: the station file as it is being edited, and what the station said of it. */
export interface FormGround {
  readonly edited: () => Settings
  readonly faults: () => readonly SettingFault[]
  readonly open: () => readonly OpenSetting[]
  /** undefined takes the setting out. */
  readonly put: (path: Path, value: unknown) => void
  readonly redraw: () => void
}

/** Where the settings that stand at the top of the file, beside its parts, are shown. */
export const topGroup = 'top'
const mostFound = 12

/** The form of all settings: what is open, what is looked for, and where the focus goes next. The values are not here. */
export class SettingsForm {
  readonly schema: Schema
  readonly ground: FormGround
  search = ''
  private readonly opened = new Set<string>()
  /** Of settings whose value does not tell it yet: the kind that was chosen. */
  private readonly chosen = new Map<string, number>()
  private focus: string | null = null
  /** Text that stands in a field and is not entered yet. */
  private typing: { readonly field: string; readonly text: string } | null = null
  private settings: readonly (FoundSetting & { readonly name: string })[] | null = null

  constructor(schema: Schema, ground: FormGround) {
    this.schema = schema
    this.ground = ground
  }

  lookFor(words: string): void {
    this.search = words
    this.ground.redraw()
  }

  isOpen(place: string): boolean {
    return this.opened.has(place)
  }
  setOpen(place: string, isOpen: boolean): void {
    if (isOpen === this.opened.has(place)) return
    if (isOpen) this.opened.add(place)
    else this.opened.delete(place)
    this.ground.redraw()
  }

  valueAt(path: Path): unknown {
    return valueAt(this.ground.edited(), path)
  }
  put(path: Path, value: unknown): void {
    this.ground.put(path, value)
  }
  type(field: string, text: string): void {
    this.typing = { field, text }
  }
  typingEnds(): void {
    this.typing = null
  }
  typedIn(field: string): string | null {
    return this.typing?.field === field ? this.typing.text : null
  }
  /** What holds in place of a setting that is not set; undefined where nothing does. */
  inForce(path: Path): OpenSetting | undefined {
    const place = pathText(path)
    return this.ground.open().find((each) => each.path === place)
  }

  /** Faults at this very setting, or also inside it. */
  faultsAt(path: Path, alsoInside = false): readonly string[] {
    const place = pathText(path)
    return this.ground
      .faults()
      .filter((fault) => fault.path === place || (alsoInside && liesIn(fault.path, place)))
      .map(({ message }) => message)
  }
  /** Faults that are told of no part of the file, as of a profile in a file of its own. */
  strayFaults(): readonly SettingFault[] {
    const { properties } = this.schema
    return this.ground
      .faults()
      .filter(({ path }) => !isRecord(properties) || !Object.hasOwn(properties, pathsAlong(path)[0] ?? ''))
  }

  kindOf(kinds: readonly Kind[], path: Path): number {
    const value = this.valueAt(path)
    const told = kindOfValue(kinds, value)
    return told >= 0 || value === undefined ? told : (this.chosen.get(pathText(path)) ?? -1)
  }
  chooseKind(path: Path, kinds: readonly Kind[], place: number): void {
    const kind = kinds[place]
    if (kind) this.chosen.set(pathText(path), place)
    else this.chosen.delete(pathText(path))
    this.put(path, kind ? asKind(kind, this.valueAt(path)) : undefined)
  }

  /** A list with one entry more; the focus goes to it. */
  addEntry(path: Path, starter: unknown): void {
    const list = this.valueAt(path)
    const place = Array.isArray(list) ? list.length : 0
    this.put([...path, place], starter)
    this.jump(pathText([...path, place]))
  }
  /** Takes an entry or a name out; the focus goes to what held it. */
  takeOut(path: Path): void {
    this.put(path, undefined)
    this.jump(pathText(path.slice(0, -1)))
  }

  /** Opens what the setting lies in; the focus goes to it with the next picture. */
  jump(place: string): void {
    for (const each of pathsAlong(place)) this.opened.add(each)
    if (this.isAtTop(place)) this.opened.add(topGroup)
    this.focus = place
    this.ground.redraw()
  }
  private isAtTop(place: string): boolean {
    const { properties } = this.schema
    const schema = isRecord(properties) ? properties[place] : undefined
    return isRecord(schema) && isPlain(schema)
  }

  /** Once a picture is drawn: the focus to what asked for it, or to what it would lie in. */
  giveFocus(find: (id: string) => HTMLElement | null): void {
    if (this.focus === null) return
    const at = pathsAlong(this.focus).toReversed()
    this.focus = null
    const field = at.map((place) => find(idOf(place))).find((each) => each !== null)
    const target = field?.matches('input, select, button')
      ? field
      : field?.querySelector<HTMLElement>('summary, input, select, button')
    target?.focus()
    target?.scrollIntoView({ block: 'center' })
  }

  /** A setting by name, after all that it lies in; `withEntries`: the numbers of entries of lists too. */
  nameAt(path: Path, withEntries = true): string {
    return trail(this.schema, path)
      .filter((_, at) => withEntries || typeof path[at] === 'string')
      .join(' › ')
  }
  nameOfSource({ kind }: Settings): string {
    return valueText({ kind }, schemaAt(this.schema, ['streams', 0, 'source']))
  }
  /** How the lines that a profile reads are made, in words. */
  nameOfForm({ form }: Settings): string {
    return valueText({ form }, schemaAt(this.schema, ['streams', 0, 'profile']))
  }
  /** What a word of the file in the help of a setting is called here; undefined where it names no setting. */
  nameFor(word: string, path: Path): string | undefined {
    const keys = word.split('.')
    const inside = keys.length > 1 ? keys : [...path.slice(0, -1), word]
    return Object.keys(schemaAt(this.schema, inside)).length > 0
      ? `“${trail(this.schema, inside).slice(-keys.length).join(' › ')}”`
      : { true: settingTexts.yes, false: settingTexts.no }[word]
  }

  /** Settings with all words of the search in their names, their help or their choices. */
  found(): {
    readonly count: number
    readonly shown: readonly { readonly place: string; readonly name: string; readonly help: string }[]
  } {
    const words = this.search.toLowerCase().split(/\s+/).filter(Boolean)
    if (words.length === 0) return { count: 0, shown: [] }
    this.settings ??= everySetting(this.schema).map((each) => ({ ...each, name: this.nameAt(each.path, false) }))
    const fitting = this.settings.filter(({ path, name, help, words: choices }) => {
      const text = [pathText(path), name, help, ...choices].join(' ').toLowerCase()
      return words.every((word) => text.includes(word))
    })
    return {
      count: fitting.length,
      shown: fitting
        .slice(0, mostFound)
        .map(({ path, name, help }) => ({ place: pathText(path), name, help: helpText(help) })),
    }
  }
}

export const isPlain = (schema: Schema): boolean => ['choice', 'number', 'text', 'length'].includes(nodeOf(schema).kind)
export const idOf = (place: string): string => `set-${encodeURIComponent(place)}`
