import { findNodeAtLocation, type Node, type ParseError, parseTree, printParseErrorCode } from 'jsonc-parser'
import type { Finding, SettingPath } from '../engine/settings/findings.ts'

/** One fault of a file, where it stands. Line and column count from 1. */
export interface Fault {
  readonly file: string
  readonly line: number
  readonly column: number
  /** `channels[3].unit`; empty for the file as a whole. */
  readonly path: string
  readonly message: string
}

/** A file of settings as it was read: JSON, with comments and trailing commas. */
export interface SettingsText {
  readonly file: string
  /** undefined where the text is no JSON; then `faults` say why. */
  readonly value: unknown
  /** Faults of the text itself: no JSON, or a key that stands twice. */
  readonly faults: readonly Fault[]
  /** Where a setting is at fault: at its value, at its key, or, where it is missing, at what should hold it. */
  faultOf(finding: Finding): Fault
}

/** Deeper than any file of settings; a parser that calls itself would fall over far beyond it. */
const deepest = 60

/** Reads JSON text. Never throws: syntax faults, keys written twice and nesting without end are faults with their place. */
export function readSettingsText(file: string, text: string): SettingsText {
  const source = text.replace(/^\uFEFF/, ' ')
  const lines = lineStarts(source)
  const fault = (offset: number, path: SettingPath, message: string): Fault => ({
    file,
    ...place(lines, offset),
    path: pathText(path),
    message,
  })
  const none = (faults: readonly Fault[]): SettingsText => ({
    file,
    value: undefined,
    faults,
    faultOf: ({ path, message }) => fault(0, path, message),
  })
  const tooDeep = deeperThan(source, deepest)
  if (tooDeep >= 0) return none([fault(tooDeep, [], `is nested deeper than ${deepest} levels`)])
  const errors: ParseError[] = []
  const root = parseTree(source, errors, { allowTrailingComma: true })
  const faults = errors.map(({ error, offset }) => fault(offset, [], syntaxText(error)))
  if (!root || faults.length > 0)
    return none(faults.length > 0 ? faults : [fault(0, [], 'is empty; a JSON object is expected')])
  const value = plainValue(root, [], (node, path, message) => faults.push(fault(node.offset, path, message)))
  return {
    file,
    value,
    faults,
    faultOf({ path, message, isKey }) {
      for (let length = path.length; length >= 0; length--) {
        const node = findNodeAtLocation(root, path.slice(0, length))
        if (node)
          return fault(isKey && node.parent?.type === 'property' ? node.parent.offset : node.offset, path, message)
      }
      return fault(root.offset, path, message)
    },
  }
}

type Report = (node: Node, path: SettingPath, message: string) => void

/** The value of a tree. `__proto__` is a key as any other: it reaches the schema, which does not know it. */
function plainValue(node: Node, path: SettingPath, report: Report): unknown {
  if (node.type === 'array')
    return (node.children ?? []).map((child, index) => plainValue(child, [...path, index], report))
  if (node.type !== 'object') return node.value
  const object: Record<string, unknown> = {}
  for (const property of node.children ?? []) {
    const [key, value] = property.children ?? []
    if (!key || !value) continue
    const name = String(key.value)
    if (Object.hasOwn(object, name)) report(key, [...path, name], 'stands here twice; keep one of the two')
    Object.defineProperty(object, name, {
      value: plainValue(value, [...path, name], report),
      enumerable: true,
      configurable: true,
      writable: true,
    })
  }
  return object
}

const words: Readonly<Record<string, string>> = {
  InvalidSymbol: 'is no JSON here; texts stand in double quotes',
  InvalidNumberFormat: 'is no number; write decimals with a point',
  PropertyNameExpected: 'a key in double quotes is expected',
  ValueExpected: 'a value is expected',
  ColonExpected: 'a colon is expected',
  CommaExpected: 'a comma is expected before this',
  CloseBraceExpected: 'a } is missing',
  CloseBracketExpected: 'a ] is missing',
  EndOfFileExpected: 'the file should end here',
  UnexpectedEndOfString: 'the text does not end; close it with a double quote',
  UnexpectedEndOfComment: 'the comment does not end',
  InvalidCharacter: 'this character must not stand here',
}
const syntaxText = (error: ParseError['error']): string =>
  words[printParseErrorCode(error)] ?? `is no JSON: ${printParseErrorCode(error)}`

/** The offset at which brackets nest deeper than `levels`, outside of texts; -1 where they don't. Comments count, which is harmless. */
function deeperThan(source: string, levels: number): number {
  let level = 0
  let inText = false
  for (let offset = 0; offset < source.length; offset++) {
    const character = source[offset]
    if (inText) {
      if (character === '\\') offset++
      else if (character === '"' || character === '\n') inText = false
    } else if (character === '"') inText = true
    else if (character === '{' || character === '[') level++
    else if (character === '}' || character === ']') level--
    if (level > levels) return offset
  }
  return -1
}

function lineStarts(source: string): readonly number[] {
  const starts = [0]
  for (const { index } of source.matchAll(/\r\n|\n|\r/g))
    starts.push(index + (source.startsWith('\r\n', index) ? 2 : 1))
  return starts
}

function place(starts: readonly number[], offset: number): { line: number; column: number } {
  let line = starts.length
  while (line > 1 && (starts[line - 1] ?? 0) > offset) line--
  return { line, column: offset - (starts[line - 1] ?? 0) + 1 }
}

/** ['channels', 3, 'unit'] → `channels[3].unit`. */
export const pathText = (path: SettingPath): string =>
  path.map((key, at) => (typeof key === 'number' ? `[${key}]` : at === 0 ? key : `.${key}`)).join('')
