import type { SettingPath } from './findings.ts'
import { isRecord } from './regimes.ts'

/** A JSON Schema, as far as it is read here. */
type Schema = Readonly<Record<string, unknown>>

/** The keys that a file may hold at `path`, by its JSON Schema; of several kinds, those of the kind that the file chose. */
export function knownKeys(schema: Schema, path: SettingPath, raw: unknown): readonly string[] {
  let schemas = choices(schema, raw)
  let value = raw
  for (const key of path) {
    value = isRecord(value) || Array.isArray(value) ? (value as Record<string | number, unknown>)[key] : undefined
    schemas = schemas.flatMap((one) => {
      const next = inside(one, key)
      return next ? choices(next, value) : []
    })
  }
  return [...new Set(schemas.flatMap(keysOf))]
}

const keysOf = (schema: Schema): string[] => {
  const names = isRecord(schema.propertyNames) ? schema.propertyNames.enum : undefined
  return [
    ...Object.keys(isRecord(schema.properties) ? schema.properties : {}),
    ...(Array.isArray(names) ? names.map(String) : []),
  ]
}

function inside(schema: Schema, key: string | number): Schema | null {
  if (typeof key === 'number') return isRecord(schema.items) ? schema.items : null
  const own = isRecord(schema.properties) ? schema.properties[key] : undefined
  if (isRecord(own)) return own
  return isRecord(schema.additionalProperties) ? schema.additionalProperties : null
}

/** The kinds of a union that `value` can be: those whose constants it has, else all. */
function choices(schema: Schema, value: unknown): Schema[] {
  const kinds = [schema.anyOf, schema.oneOf].find(Array.isArray)
  if (!kinds) return [schema]
  const all = kinds.filter(isRecord).flatMap((kind) => choices(kind, value))
  const fitting = all.filter((kind) => fits(kind, value))
  return fitting.length > 0 ? fitting : all
}

function fits(schema: Schema, value: unknown): boolean {
  if (schema.type === 'object' && isRecord(value)) {
    const constants = Object.entries(isRecord(schema.properties) ? schema.properties : {}).filter(
      ([, one]) => isRecord(one) && 'const' in one,
    )
    return constants.every(([key, one]) => isRecord(one) && one.const === value[key])
  }
  return (schema.type === 'array') === Array.isArray(value) && (schema.type === 'object') === isRecord(value)
}
