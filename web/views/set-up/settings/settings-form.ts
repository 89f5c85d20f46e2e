import type { CheckAnswer, SettingFault } from '../../../../protocols/live/set-up.ts'
import { isRecord, liesIn, type Path, pathsAlong, pathText, type Settings, valueAt } from './at-path.ts'
import { asKind, everySetting, type FoundSetting, type Kind, kindOfValue, nodeOf, type Schema } from './schema-nodes.ts'
import { helpText, nameOf } from './setting-words.ts'

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
  private settings: readonly FoundSetting[] | null = null

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

  /** Settings with all words of the search in their names, their help or their choices. */
  found(): {
    readonly count: number
    readonly shown: readonly { readonly place: string; readonly name: string; readonly help: string }[]
  } {
    const words = this.search.toLowerCase().split(/\s+/).filter(Boolean)
    if (words.length === 0) return { count: 0, shown: [] }
    this.settings ??= everySetting(this.schema)
    const fitting = this.settings.filter(({ path, help, words: choices }) => {
      const text = [pathText(path), trail(path), help, ...choices].join(' ').toLowerCase()
      return words.every((word) => text.includes(word))
    })
    return {
      count: fitting.length,
      shown: fitting
        .slice(0, mostFound)
        .map(({ path, help }) => ({ place: pathText(path), name: trail(path), help: helpText(help) })),
    }
  }
}

/** The settings on the way to one, entries of lists left out. */
const trail = (path: Path): string =>
  path
    .map((_, at) => path.slice(0, at + 1))
    .filter((each) => typeof each.at(-1) === 'string')
    .map(nameOf)
    .join(' › ')

export const isPlain = (schema: Schema): boolean => ['choice', 'number', 'text', 'length'].includes(nodeOf(schema).kind)
export const idOf = (place: string): string => `set-${encodeURIComponent(place)}`
