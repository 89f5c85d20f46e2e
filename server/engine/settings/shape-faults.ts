import type { z } from 'zod'
import type { Finding, SettingPath } from './findings.ts'
import { knownKeys } from './known-keys.ts'
import { didYouMean } from './nearest.ts'
import { isRecord } from './regimes.ts'

type Issue = z.core.$ZodIssue
type Schema = Readonly<Record<string, unknown>>

/** Issues of a schema as findings an operator can act on: the value found, what is allowed, the nearest match. */
export function shapeFaults(issues: readonly Issue[], schema: Schema, raw: unknown): Finding[] {
  const findings = issues.flatMap((issue) => findingsOf(issue, schema, raw))
  const first = new Map<string, Finding>()
  for (const finding of findings) {
    const place = JSON.stringify(finding.path)
    if (!first.has(place)) first.set(place, finding) // One setting, one finding: the first rule that it breaks.
  }
  return [...first.values()]
}

function findingsOf(issue: Issue, schema: Schema, raw: unknown): Finding[] {
  const path = issue.path.map((key) => (typeof key === 'number' ? key : String(key)))
  if (issue.code === 'unrecognized_keys') {
    const known = knownKeys(schema, path, raw)
    return issue.keys.map((key) => ({
      path: [...path, key],
      message: `is not known here; known are ${known.join(', ')}${didYouMean(key, known)}`,
      isKey: true as const,
    }))
  }
  if (issue.code === 'invalid_union') return unionFindings(issue, path, schema, raw)
  if (issue.code === 'invalid_key') {
    const known = knownKeys(schema, path.slice(0, -1), raw)
    const reason =
      known.length > 0
        ? `is not known here; known are ${known.join(', ')}${didYouMean(String(path.at(-1)), known)}`
        : (issue.issues[0]?.message ?? issue.message)
    return [{ path, message: reason, isKey: true }]
  }
  return [{ path, message: textOf(issue, valueAt(raw, path)) }]
}

/** A union reports against the kind that was chosen; where none can be told, all kinds are named. */
function unionFindings(
  issue: Extract<Issue, { code: 'invalid_union' }>,
  path: SettingPath,
  schema: Schema,
  raw: unknown,
): Finding[] {
  const value = valueAt(raw, path)
  if (issue.errors.length === 0) {
    const allowed = 'options' in issue && Array.isArray(issue.options) ? issue.options.map(String) : []
    if (value === undefined) return [{ path, message: `is missing; ${oneOf(allowed)}` }]
    return [{ path, message: notAllowed(value, allowed) }]
  }
  const kinds = issue.errors.map((errors) =>
    errors.map((error) => ({ ...error, path: [...issue.path, ...error.path] }) as Issue),
  )
  const own = kinds.filter(
    (errors) =>
      !errors.some(
        (error) =>
          error.path.length === issue.path.length && (error.code === 'invalid_type' || error.code === 'invalid_value'),
      ),
  )
  const fewest = Math.min(...own.map(({ length }) => length))
  const nearest = own.filter(({ length }) => length === fewest)
  const chosen = nearest.length === 1 ? nearest[0] : undefined
  if (chosen) return shapeFaults(chosen, schema, raw)
  if (value === undefined) return [{ path, message: 'is missing' }]
  const choices = kinds.map(([error]) => (error?.code === 'invalid_value' ? error.values.map(String) : null))
  if (own.length === 0 && choices.every((values) => values !== null))
    return [{ path, message: notAllowed(value, [...new Set(choices.flat())]) }]
  const texts =
    own.length === 0
      ? kinds
          .map((errors) => errors[0])
          .filter((error) => error !== undefined)
          .map(wanted)
      : []
  const keys = knownKeys(schema, path, raw)
  const ways = [...texts, ...(isRecord(value) && keys.length > 0 ? [`an object with one of ${keys.join(', ')}`] : [])]
  const misspelt = isRecord(value)
    ? Object.keys(value)
        .map((key) => didYouMean(key, keys))
        .find((text) => text !== '')
    : undefined
  return [{ path, message: `${shown(value)} does not fit; give ${[...new Set(ways)].join(', or ')}${misspelt ?? ''}` }]
}

/** Signs would be lost among the commas of a list: they stand in quotes. */
const oneOf = (allowed: readonly string[]): string => {
  const texts = allowed.some((text) => /\w/.test(text)) ? allowed : allowed.map((text) => `"${text}"`)
  return `use ${texts.join(', ')}`
}

const notAllowed = (value: unknown, allowed: readonly string[]): string =>
  `${shown(value)} is not allowed; ${oneOf(allowed)}${typeof value === 'object' ? '' : didYouMean(String(value), allowed)}`

function textOf(issue: Issue, value: unknown): string {
  if (value === undefined) return `is missing; give ${wanted(issue)}`
  switch (issue.code) {
    case 'invalid_value': {
      return notAllowed(value, issue.values.map(String))
    }
    case 'too_small':
    case 'too_big':
      return `${amount(value, issue.code)}; ${bound(issue)}`
    case 'invalid_format':
      if (issue.format === 'datetime') return `${shown(value)} is no time; write it as 2026-11-25T22:00:00+01:00`
      return `${shown(value)} does not fit: ${issue.message}`
    case 'custom':
      return `${shown(value)} does not fit: ${issue.message}`
    default:
      return `${shown(value)} does not fit; give ${wanted(issue)}`
  }
}

/** What would do in place of what was found. */
function wanted(issue: Issue): string {
  if (issue.code === 'invalid_value')
    return issue.values.length === 1 ? String(issue.values[0]) : `one of ${issue.values.join(', ')}`
  if (issue.code !== 'invalid_type') return 'a value'
  const words: Readonly<Record<string, string>> = {
    string: 'a text',
    number: 'a number',
    int: 'a whole number',
    boolean: 'true or false',
    array: 'a list',
    object: 'an object',
    record: 'an object',
    tuple: 'two numbers',
  }
  return words[issue.expected] ?? `a value of type ${issue.expected}`
}

const amount = (value: unknown, code: 'too_small' | 'too_big'): string => {
  if (Array.isArray(value)) return `has ${value.length} entries`
  return typeof value === 'string'
    ? `${shown(value)} has ${value.length} characters`
    : `${shown(value)} is ${code === 'too_small' ? 'too small' : 'too large'}`
}

function bound(issue: Extract<Issue, { code: 'too_small' | 'too_big' }>): string {
  if (issue.code === 'too_small') return issue.inclusive ? `at least ${issue.minimum}` : `more than ${issue.minimum}`
  return issue.inclusive ? `at most ${issue.maximum}` : `less than ${issue.maximum}`
}

/** A value as it stands in the file, cut to a readable length. */
export function shown(value: unknown): string {
  const text = JSON.stringify(value) ?? String(value)
  return text.length > 60 ? `${text.slice(0, 57)}…` : text
}

export function valueAt(raw: unknown, path: SettingPath): unknown {
  let value = raw
  for (const key of path) {
    if (!(isRecord(value) || Array.isArray(value)) || !Object.hasOwn(value, key)) return undefined
    value = (value as Record<string | number, unknown>)[key]
  }
  return value
}
