import { listKind, valueKinds } from '../../../texts/settings.ts'
import { isRecord, type Key, type Path } from './at-path.ts'

/** A JSON Schema, as far as the station’s is read here. */
export type Schema = Readonly<Record<string, unknown>>
export type Plain = string | number | boolean

/** A value that can be chosen, and what it does in words; empty where the value is a word of the trade by itself. */
export interface Option {
  readonly value: Plain
  readonly words: string
}

/** One way in which a setting can be written. */
export interface Kind {
  readonly label: string
  readonly schema: Schema
  /** The word that tells it in the file; empty where none does. */
  readonly word: string
  /** What stands in the file once it is chosen. */
  readonly starter: unknown
}

/** How a setting is asked for. */
export type SettingNode =
  | { readonly kind: 'choice'; readonly options: readonly Option[] }
  | { readonly kind: 'number' | 'text' | 'length' }
  | { readonly kind: 'pair'; readonly items: readonly Schema[] }
  | { readonly kind: 'list'; readonly item: Schema }
  /** An object with settings of known names. */
  | { readonly kind: 'parts'; readonly parts: readonly Part[] }
  /** An object whose names are chosen by hand; `of`: what they name, as a channel. */
  | { readonly kind: 'named'; readonly value: Schema; readonly of: string }
  /** `about`: what the setting says that names the kind, as `rule` of a validity. */
  | { readonly kind: 'kinds'; readonly kinds: readonly Kind[]; readonly about: string }
export interface Part {
  readonly key: string
  readonly schema: Schema
  readonly isNeeded: boolean
}

const schemas = (value: unknown): Schema[] => (Array.isArray(value) ? value.filter(isRecord) : [])
const texts = (value: unknown): string[] => (Array.isArray(value) ? value.map(String) : [])

/** The kinds of a union, and those of unions among them; a schema that is none is the one kind of itself. */
function alternatives(schema: Schema): Schema[] {
  const kinds = schemas(schema.anyOf ?? schema.oneOf)
  return kinds.length > 0 ? kinds.flatMap(alternatives) : [schema]
}
const optionsOf = (schema: Schema): Option[] | null =>
  schema.type === 'boolean'
    ? [true, false].map((value) => ({ value, words: '' }))
    : schema.const !== undefined
      ? [{ value: schema.const as Plain, words: wordsOf(schema) }]
      : Array.isArray(schema.enum)
        ? schema.enum.map((value: Plain, at) => ({ value, words: texts(schema.enumDescriptions)[at] ?? '' }))
        : null
const wordsOf = ({ title = '' }: Schema): string => String(title)

const fixedParts = (schema: Schema): [string, unknown][] =>
  Object.entries(isRecord(schema.properties) ? schema.properties : {}).flatMap(([key, one]): [string, unknown][] =>
    isRecord(one) && one.const !== undefined ? [[key, one.const]] : [],
  )

export function nodeOf(schema: Schema): SettingNode {
  const kinds = alternatives(schema)
  const options = kinds.map(optionsOf)
  if (options.every((each) => each !== null))
    return { kind: 'choice', options: [...new Map(options.flat().map((each) => [each.value, each])).values()] }
  const [only] = kinds
  if (!only || kinds.length > 1) return { kind: 'kinds', kinds: kinds.map(kindOf), about: aboutKinds(kinds) }
  if (only.type === 'number' || only.type === 'integer') return { kind: 'number' }
  if (only.type === 'array')
    return Array.isArray(only.prefixItems)
      ? { kind: 'pair', items: schemas(only.prefixItems) }
      : { kind: 'list', item: isRecord(only.items) ? only.items : {} }
  if (only.type === 'object') return objectNode(only)
  // The schema says so by its examples: a text that is a length of time is shown and typed in words.
  return { kind: texts(only.examples).some((each) => each.startsWith('PT')) ? 'length' : 'text' }
}

function objectNode(schema: Schema): SettingNode {
  const needed = texts(schema.required)
  const ofNames = isRecord(schema.propertyNames) ? schema.propertyNames : {}
  const names = texts(ofNames.enum)
  const inside = isRecord(schema.additionalProperties) ? schema.additionalProperties : null
  if (inside && names.length === 0) return { kind: 'named', value: inside, of: wordsOf(ofNames) }
  const parts = inside
    ? names.map((key, at) => ({
        key,
        schema: { ...inside, title: texts(ofNames.enumDescriptions)[at] },
        isNeeded: false,
      }))
    : Object.entries(isRecord(schema.properties) ? schema.properties : {}).map(([key, one]) => ({
        key,
        schema: one as Schema,
        isNeeded: needed.includes(key),
      }))
  return { kind: 'parts', parts }
}

const aboutKinds = (kinds: readonly Schema[]): string => {
  const fixed = kinds.flatMap(({ properties }) => Object.values(isRecord(properties) ? properties : {}))
  const told = fixed.find((one) => isRecord(one) && one.const !== undefined && one.description !== undefined)
  return isRecord(told) ? String(told.description) : ''
}

function kindOf(schema: Schema): Kind {
  const starter = schema.type === 'object' ? Object.fromEntries(fixedParts(schema)) : (schema.const ?? '')
  const told = isRecord(starter) ? Object.values(starter) : [starter]
  const [by = schema] = Object.keys(isRecord(starter) ? starter : {}).map((key) => partOf(schema, key))
  return {
    label: wordsOf(schema) || wordsOf(by) || (valueKinds[String(schema.type)] ?? listKind),
    word: told.join(', '),
    schema,
    starter,
  }
}
const partOf = ({ properties }: Schema, key: string): Schema =>
  isRecord(properties) && isRecord(properties[key]) ? properties[key] : {}

/** Which kind a value is written in; −1 where it is of none, or tells none yet. */
export const kindOfValue = (kinds: readonly Kind[], value: unknown): number =>
  kinds.findIndex(({ schema }) => {
    if (schema.const !== undefined) return schema.const === value
    if (schema.type !== 'object')
      return schema.type === 'string' ? typeof value === 'string' && value !== '' : typeof value === 'number'
    const fixed = fixedParts(schema)
    return (
      isRecord(value) &&
      (fixed.length > 0
        ? fixed.every(([key, one]) => value[key] === one)
        : texts(schema.required).some((key) => Object.hasOwn(value, key)))
    )
  })

/** A value carried over to another kind: what both know by the same name stays. */
export function asKind({ schema, starter }: Kind, value: unknown): unknown {
  const { properties } = schema
  if (!isRecord(starter) || !isRecord(value) || !isRecord(properties)) return starter
  const kept = Object.entries(value).filter(([key]) => Object.hasOwn(properties, key) && !Object.hasOwn(starter, key))
  return { ...starter, ...Object.fromEntries(kept) }
}

/** The settings inside a chosen kind; those that the choice itself has set are not asked for again. */
export function partsOfKind({ schema, starter }: Kind): Schema {
  if (!isRecord(starter) || !isRecord(schema.properties)) return schema
  return {
    ...schema,
    properties: Object.fromEntries(Object.entries(schema.properties).filter(([key]) => !Object.hasOwn(starter, key))),
  }
}

export const fixedKeys = ({ schema }: Kind): readonly string[] => fixedParts(schema).map(([key]) => key)

/** What a new entry of a list or a new name begins with: fields that are still to be filled in. */
export function starterOf(schema: Schema): unknown {
  const { kind } = nodeOf(schema)
  return kind === 'parts' || kind === 'named' ? {} : kind === 'list' ? [] : ''
}

/** A setting that can be looked for: where it stands, the first entry standing for all entries of a list. */
export interface FoundSetting {
  readonly path: Path
  readonly help: string
  readonly words: readonly Plain[]
}

/** Every setting of a schema, in its order; of a union the settings of all its kinds. */
export function everySetting(schema: Schema, path: Path = []): FoundSetting[] {
  const node = nodeOf(schema)
  const inside =
    node.kind === 'parts'
      ? node.parts.flatMap((part) => everySetting(part.schema, [...path, part.key]))
      : node.kind === 'list'
        ? everySetting(node.item, [...path, 0])
        : node.kind === 'kinds'
          ? node.kinds.flatMap((kind) => [
              ...fixedKeys(kind).map((key) => ({
                path: [...path, key],
                help: node.about,
                words: [kind.label, kind.word],
              })),
              ...everySetting(partsOfKind(kind), path),
            ])
          : []
  const words =
    node.kind === 'choice'
      ? node.options.flatMap(({ value, words: told }) => [value, told])
      : node.kind === 'kinds'
        ? node.kinds.flatMap(({ label, word }) => [label, word])
        : []
  const own = { path, help: String(schema.description ?? ''), words }
  const all = path.length === 0 || typeof path.at(-1) === 'number' ? inside : [own, ...inside]
  return [...new Map(all.toReversed().map((each) => [each.path.join('\n'), each])).values()].toReversed()
}

/** The schema of what stands inside, under this key; empty where the file may not have it. */
export function schemaIn(schema: Schema, key: Key): Schema {
  const node = nodeOf(schema)
  if (node.kind === 'list') return node.item
  if (node.kind === 'named') return node.value
  const inside =
    node.kind === 'kinds'
      ? node.kinds.map((kind) => schemaIn(kind.schema, key))
      : node.kind === 'parts'
        ? node.parts.filter((part) => part.key === key).map((part) => part.schema)
        : []
  return inside.find((each) => Object.keys(each).length > 0) ?? {}
}
export const schemaAt = (schema: Schema, path: Path): Schema => path.reduce<Schema>(schemaIn, schema)
