import { anyWholeRun, calendarDay, isoDuration } from '../../../../protocols/words/time.ts'
import { averageText } from '../../../format/durations.ts'
import { unitName } from '../../../format/units.ts'
import { wholeRun } from '../../../texts/lengths.ts'
import * as settingTexts from '../../../texts/settings.ts'
import { isRecord, type Key, type Path, valueAt } from './at-path.ts'
import { kindOfValue, nodeOf, type Option, type Schema, schemaAt, schemaIn } from './schema-nodes.ts'

/** What a setting is called; entries of lists are numbered. */
export function nameOf(path: Path, { title, const: fixed }: Schema): string {
  const key = path.at(-1) ?? ''
  if (typeof key === 'number') return settingTexts.entry(String(title ?? settingTexts.entryWord), key + 1)
  // The title of a constant says what it does, not what it is the value of.
  return fixed === undefined && title !== undefined ? String(title) : key.slice(0, 1).toUpperCase() + key.slice(1)
}
/** What the key of an object is called; a name that was chosen by hand stands as it is. */
const nameIn = (schema: Schema, key: Key, along: Path = [key]): string =>
  nodeOf(schema).kind === 'named' ? String(key) : nameOf(along, schemaIn(schema, key))
/** A setting and all that it lies in, by name. */
export const trail = (schema: Schema, path: Path): string[] =>
  path.map((key, at) => nameIn(schemaAt(schema, path.slice(0, at)), key, path.slice(0, at + 1)))
/** The unit in which a number is typed; empty where it has none. */
export function unitOf(path: Path, { unit, unitOf: from }: Schema, station: unknown): string {
  return from ? unitName(String(valueAt(station, [...path.slice(0, -1), String(from)]) ?? '')) : String(unit ?? '')
}

/** `0 to 20`; empty where everything is allowed. */
export function boundsText({ minimum, maximum, exclusiveMinimum }: Schema): string {
  const isBound = (value: unknown): value is number => typeof value === 'number' && Math.abs(value) < 1e15
  const most = isBound(maximum) ? maximum : null
  if (isBound(exclusiveMinimum))
    return most === null ? settingTexts.above(exclusiveMinimum) : settingTexts.aboveAtMost(exclusiveMinimum, most)
  if (isBound(minimum)) return most === null ? settingTexts.orMore(minimum) : settingTexts.between(minimum, most)
  return most === null ? '' : settingTexts.atMost(most)
}

/** A length of an average in words, as it is shown and typed. */
export const lengthText = (iso: string): string =>
  iso === calendarDay ? settingTexts.oneDay : iso === anyWholeRun ? wholeRun : averageText(iso)

/** `30 min`, `1 h 30 min`, `1 day`, `whole run`, or ISO 8601 as it stands; other text stays for the station to refuse. */
export function lengthTyped(text: string): string {
  const plain = text.trim().toLowerCase()
  if (/^(?:whole )?run$/.test(plain)) return anyWholeRun
  if (/^(?:1 ?)?(?:d|day)$/.test(plain)) return calendarDay
  const found = /^(?:(\d+) ?h(?:ours?)?)? ?(?:(\d+) ?m(?:in(?:utes?)?)?)?$/.exec(plain)
  const minutes = Number(found?.[1] ?? 0) * 60 + Number(found?.[2] ?? 0)
  return minutes > 0 ? isoDuration(minutes * 60_000) : text.trim()
}

/** Line ends are typed and shown as `\r` and `\n` where they are what is set. */
export const typedText = (key: unknown, text: string): string =>
  key === 'send' ? text.replaceAll('\\r', '\r').replaceAll('\\n', '\n') : text
export const shownText = (key: unknown, text: string): string =>
  key === 'send' ? text.replaceAll('\r', '\\r').replaceAll('\n', '\\n') : text

/** A number where the text is one; else the text, which the station refuses in its place. Empty: not set. */
export function numberTyped(text: string): unknown {
  const plain = text.trim().replace(',', '.')
  return plain === '' ? undefined : Number.isFinite(Number(plain)) ? Number(plain) : text
}

export function optionText(key: unknown, { value, words }: Option): string {
  if (typeof value === 'boolean') return value ? settingTexts.yes : settingTexts.no
  return words || (/unit$/i.test(String(key)) && unitName(String(value))) || String(value)
}

/** Any value in words, for what is in force and for an entry’s heading. */
export function valueText(value: unknown, schema: Schema = {}, key: unknown = ''): string {
  if (Array.isArray(value))
    return value.length > 0
      ? value.map((one, at) => valueText(one, schemaIn(schema, at), key)).join(', ')
      : settingTexts.none
  const node = nodeOf(schema)
  const kind = node.kind === 'kinds' ? node.kinds[kindOfValue(node.kinds, value)] : undefined
  if (isRecord(value)) {
    const fixed = isRecord(kind?.starter) ? Object.keys(kind.starter) : []
    const others = Object.entries(value).filter(([name]) => !fixed.includes(name))
    const of = kind?.schema ?? schema
    const told = others.map(([name, one]) => [nameIn(of, name).toLowerCase(), valueText(one, schemaIn(of, name), name)])
    // A kind that is told by its one setting says itself what that is.
    if (kind && fixed.length === 0 && told.length === 1) return `${kind.label}: ${told[0]?.[1]}`
    return [...(kind ? [kind.label] : []), ...told.map((each) => each.join(' '))].join(', ')
  }
  if (typeof value === 'string' && value.startsWith('P')) return lengthText(value)
  if (value === '') return '""'
  const option = node.kind === 'choice' ? node.options.find((each) => each.value === value) : undefined
  return kind?.word ? kind.label : optionText(key, option ?? { value: value as Option['value'], words: '' })
}

/** Help in the schema’s words, without its ISO 8601: lengths are read and typed in words. */
export const helpText = (help: string): string =>
  settingTexts.lengthHelp
    .reduce((text, [told, shown]) => text.replace(told, shown), help)
    .replace(/`?\b(?:PT\d+[HM]|P1D)\b`?/g, (iso) => lengthText(iso.replaceAll('`', '')))
