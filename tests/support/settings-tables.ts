type Schema = Readonly<Record<string, unknown>>
type Row = readonly [setting: string, value: string, otherwise: string, meaning: string]

/** Where the tables stand in the page of the station file. */
export const tablesBegin = '<!-- tables: made from the schema by `npx tsx tests/support/write-settings-tables.ts` -->'
export const tablesEnd = '<!-- tables end -->'

/** Every setting of a JSON Schema as Markdown, one table for each part. A line profile has a page of its own. */
export function settingsTables(schema: Schema): string {
  const parts = Object.entries(object(schema.properties))
  const needed = Array.isArray(schema.required) ? schema.required.map(String) : []
  const simple = parts.filter(([, part]) => !hasInside(part))
  const tables = parts
    .filter(([, part]) => hasInside(part))
    .map(([name, part]) => table(`\`${name}\``, text(part.description), rowsOf(part, '')))
  return [
    table(
      'At the top',
      '',
      simple.flatMap(([name, part]) => rowsOf(part, name, needed.includes(name))),
    ),
    ...tables,
  ].join('\n')
}

const table = (heading: string, about: string, rows: readonly Row[]): string =>
  [
    `### ${heading}`,
    '',
    ...(about ? [about, ''] : []),
    '| setting | value | if not set | meaning |',
    '| --- | --- | --- | --- |',
    ...rows.map((row) => `| ${row.map((cell) => cell.replaceAll('|', '\\|')).join(' | ')} |`),
    '',
  ].join('\n')

const object = (value: unknown): Readonly<Record<string, Schema>> =>
  typeof value === 'object' && value !== null ? (value as Record<string, Schema>) : {}
const text = (value: unknown): string => (typeof value === 'string' ? value : '')
const kindsOf = (schema: Schema): readonly Schema[] => [schema.anyOf, schema.oneOf].find(Array.isArray) ?? []
const items = (schema: Schema): Schema | undefined =>
  schema.type === 'array' && !schema.prefixItems ? object(schema).items : undefined

function hasInside(schema: Schema): boolean {
  const of = items(schema)
  return (
    schema.properties !== undefined ||
    typeof schema.additionalProperties === 'object' ||
    kindsOf(schema).some(hasInside) ||
    (of !== undefined && hasInside(of))
  )
}

function rowsOf(schema: Schema, path: string, required = false): Row[] {
  if (path === 'profile')
    return [
      [
        `\`${path}\``,
        'a text, or an object',
        otherwise(schema, required),
        `${text(schema.description)} See line-profiles.md.`,
      ],
    ]
  const inside = insideOf(schema, path)
  if (path === '' && inside.length > 0) return inside
  const own: Row = [`\`${path}\``, valueText(schema), otherwise(schema, required), meaning(schema)]
  return inside.length === 0
    ? [own]
    : text(schema.description) === '' && kindsOf(schema).length === 0
      ? inside
      : [own, ...inside]
}

function insideOf(schema: Schema, path: string): Row[] {
  const of = items(schema)
  if (of && hasInside(of)) return insideOf(of, path === '' ? '' : `${path}[]`)
  const under = (name: string): string => (path === '' ? name : `${path}.${name}`)
  const needed = Array.isArray(schema.required) ? schema.required.map(String) : []
  const properties = Object.entries(object(schema.properties)).flatMap(([name, one]) =>
    rowsOf(one, under(name), needed.includes(name)),
  )
  const names = object(schema).propertyNames?.enum
  const allowed: Row[] = Array.isArray(names)
    ? [
        [
          `\`${under('NAME')}\``,
          'an object',
          '',
          `NAME is one of ${names.map((name) => `\`${String(name)}\``).join(', ')}.`,
        ],
      ]
    : []
  const named =
    typeof schema.additionalProperties === 'object'
      ? [...allowed, ...rowsOf(object(schema).additionalProperties as Schema, under('NAME'))]
      : []
  return [...properties, ...named, ...kindRows(kindsOf(schema), path)]
}

/** The settings of the kinds of a union, told apart by the constant that names each. */
function kindRows(kinds: readonly Schema[], path: string): Row[] {
  const under = (name: string): string => `\`${path === '' ? '' : `${path}.`}${name}\``
  const named = kinds.map((kind) => ({
    kind,
    constant: Object.entries(object(kind.properties)).find(([, one]) => one.const !== undefined),
  }))
  const constants = named.flatMap(({ constant }) => (constant ? [constant] : []))
  const [first] = constants
  const choice: Row[] = first
    ? [
        [
          under(first[0]),
          constants.map(([, one]) => valueText(one)).join(', '),
          'needed',
          `${text(first[1].description)} ${constants.map(([, one]) => told(one.const, one.title)).join(' ')}`,
        ],
      ]
    : []
  const rows = named.flatMap(({ kind, constant }) => {
    const inside = insideOf(kind, path)
    return constant
      ? inside
          .filter(([setting]) => setting !== under(constant[0]))
          .map(([setting, ...rest]): Row => [`${setting} (${String(constant[1].const)})`, ...rest])
      : inside
  })
  return [...choice, ...rows]
}

/** What a value does, as the form of the set-up says it. */
const told = (value: unknown, words: unknown): string => `\`${String(value)}\`: ${text(words)}.`

/** Words that say no more than the value itself. */
const isSame = (value: unknown, words: unknown): boolean =>
  words === '' || text(words) === String(value).replaceAll('-', ' ')

/** What a setting means, and each word that can be chosen for it. */
function meaning(schema: Schema): string {
  const of = [schema, ...kindsOf(schema), ...[items(schema)].filter((one) => one !== undefined)]
  const words = of.flatMap((one) =>
    Array.isArray(one.enumDescriptions) && Array.isArray(one.enum)
      ? one.enum.map((value, at): [unknown, unknown] => [value, (one.enumDescriptions as unknown[])[at]])
      : one !== schema && typeof one.const === 'string'
        ? [[one.const, one.title] as [unknown, unknown]]
        : [],
  )
  return [
    text(schema.description),
    ...words.filter(([value, one]) => !isSame(value, one)).map(([value, one]) => told(value, one)),
  ].join(' ')
}

function valueText(schema: Schema): string {
  if (schema.const !== undefined) return `\`${JSON.stringify(schema.const)}\``
  if (Array.isArray(schema.enum)) return schema.enum.map((one) => `\`${String(one)}\``).join(', ')
  const kinds = kindsOf(schema)
  if (kinds.length > 0)
    return [...new Set(kinds.map((kind) => (hasInside(kind) ? 'an object' : valueText(kind))))]
      .sort((a, b) => b.length - a.length)
      .filter((one, place, all) => !all.slice(0, place).some((longer) => longer.includes(one)))
      .join(', or ')
  const of = items(schema)
  if (of) return hasInside(of) ? 'a list' : `a list of ${of.type === 'string' && !of.enum ? 'texts' : valueText(of)}`
  if (Array.isArray(schema.prefixItems)) return '[low, high]'
  if (schema.type === 'number' || schema.type === 'integer')
    return `a ${schema.type === 'integer' ? 'whole ' : ''}number${bounds(schema)}`
  const names: Readonly<Record<string, string>> = { string: 'a text', boolean: '`true`, `false`', object: 'an object' }
  return names[text(schema.type)] ?? 'a value'
}

function bounds({ minimum, exclusiveMinimum, maximum }: Schema): string {
  const low =
    minimum !== undefined
      ? `from ${String(minimum)}`
      : exclusiveMinimum !== undefined
        ? `above ${String(exclusiveMinimum)}`
        : ''
  const high = typeof maximum === 'number' && maximum < Number.MAX_SAFE_INTEGER ? `to ${maximum}` : ''
  return typeof minimum === 'number' && minimum <= Number.MIN_SAFE_INTEGER
    ? ''
    : [low, high]
        .filter((part) => part !== '')
        .map((part) => ` ${part}`)
        .join('')
}

function otherwise(schema: Schema, required: boolean): string {
  if (schema.default !== undefined)
    return JSON.stringify(schema.default) === '{}' ? '' : `\`${JSON.stringify(schema.default)}\``
  return required ? 'needed' : ''
}
