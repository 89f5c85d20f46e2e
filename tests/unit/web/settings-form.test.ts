import fc from 'fast-check'
import { expect, test } from 'vitest'
import { physicalQuantities } from '../../../protocols/words/quantities.ts'
import { stationSchema } from '../../../server/engine/settings/station-schema.ts'
import { readScenario } from '../../../simulator/scenario.ts'
import { stationFor } from '../../../simulator/station-for.ts'
import { settingTerms } from '../../../web/texts/settings.ts'
import { terms } from '../../../web/texts/terms.ts'
import {
  type Path,
  pathsAlong,
  pathText,
  type Settings,
  valueAt,
  withValue,
} from '../../../web/views/set-up/settings/at-path.ts'
import {
  everySetting,
  nodeOf,
  partsOfKind,
  type Schema,
  schemaAt as schemaOf,
  starterOf,
} from '../../../web/views/set-up/settings/schema-nodes.ts'
import {
  boundsText,
  lengthText,
  lengthTyped,
  numberTyped,
  optionText,
  trail,
  valueText,
} from '../../../web/views/set-up/settings/setting-words.ts'
import { SettingsForm } from '../../../web/views/set-up/settings/settings-form.ts'

const schema = stationSchema()

/** A form over a station file that nothing but the form changes. */
function aForm(start: Settings = {}, faults: { path: string; message: string }[] = []) {
  let station = start
  const form = new SettingsForm(schema, {
    edited: () => station,
    faults: () => faults,
    open: () => [],
    put: (path, value) => {
      station = withValue(station, path, value) as Settings
    },
    redraw: () => {},
  })
  return { form, station: () => station }
}
const schemaAt = (...keys: string[]): Schema =>
  keys.reduce<Schema>((at, key) => (at.properties as Record<string, Schema>)[key] as Schema, schema)

/** All that a JSON Schema lets stand in a file, by its keywords alone: `limits[].kind:"high"`, `run.end.at:string`. */
function leavesOf(at: Schema, path = ''): string[] {
  const inside = (key: string): string => (path === '' ? key : `${path}.${key}`)
  const kinds = (at.anyOf ?? at.oneOf) as Schema[] | undefined
  if (kinds) return kinds.flatMap((kind) => leavesOf(kind, path))
  if (at.const !== undefined) return [`${path}:${JSON.stringify(at.const)}`]
  if (at.enum) return (at.enum as unknown[]).map((one) => `${path}:${JSON.stringify(one)}`)
  if (at.type === 'boolean') return [`${path}:true`, `${path}:false`]
  if (at.prefixItems) return (at.prefixItems as Schema[]).flatMap((one, place) => leavesOf(one, `${path}[${place}]`))
  if (at.type === 'array') return leavesOf(at.items as Schema, `${path}[]`)
  if (at.type === 'object') {
    const named = Object.entries((at.properties ?? {}) as Record<string, Schema>)
    const names = (at.propertyNames as Schema | undefined)?.enum as string[] | undefined
    const other = typeof at.additionalProperties === 'object' ? (at.additionalProperties as Schema) : null
    return [
      ...named.flatMap(([key, one]) => leavesOf(one, inside(key))),
      ...(other ? (names ?? ['*']).flatMap((name) => leavesOf(other, inside(name))) : []),
    ]
  }
  return [`${path}:${at.type === 'integer' ? 'number' : at.type}`]
}

/** All that can be put into a file by the form’s own steps: every choice taken, every list begun, every name added. */
function reachedBy(at: Schema, path: Path): string[] {
  const text = pathText(path).replaceAll(/\[\d+\]/g, '[]')
  const { form } = aForm()
  const landed = (told: unknown, how: string): string[] => {
    form.put(path, told)
    return JSON.stringify(form.valueAt(path)) === JSON.stringify(told) ? [`${text}:${how}`] : []
  }
  const node = nodeOf(at)
  switch (node.kind) {
    case 'choice':
      return node.options.flatMap((option) => landed(option.value, JSON.stringify(option.value)))
    case 'number':
      return landed(numberTyped('1,5'), 'number')
    case 'text':
      return landed('text', 'string')
    case 'length':
      return landed(lengthTyped('30 min'), 'string')
    case 'pair':
      return node.items.flatMap((item, place) =>
        reachedBy(item, [...path, place]).map((one) => one.replace(`${text}[]`, `${text}[${place}]`)),
      )
    case 'list':
      form.addEntry(path, starterOf(node.item))
      return Array.isArray(form.valueAt(path)) ? reachedBy(node.item, [...path, 0]) : []
    case 'parts':
      return node.parts.flatMap((part) => reachedBy(part.schema, [...path, part.key]))
    case 'named':
      return reachedBy(node.value, [...path, '*'])
    case 'kinds':
      return node.kinds.flatMap((kind, place) => {
        form.chooseKind(path, node.kinds, place)
        if (form.kindOf(node.kinds, path) !== place) return []
        const fixed = Object.entries(kind.starter !== null && typeof kind.starter === 'object' ? kind.starter : {})
        return [
          ...fixed.map(([key, one]) => `${text}.${key}:${JSON.stringify(one)}`),
          ...reachedBy(partsOfKind(kind), path),
        ]
      })
  }
}

test('every setting that a station file may have can be set by the form, with each of its choices', () => {
  const allowed = new Set(leavesOf(schema))
  expect(allowed.size).toBeGreaterThan(500)
  const reached = new Set(reachedBy(schema, []))
  expect([...allowed].filter((leaf) => !reached.has(leaf))).toEqual([])
})

test('every setting is found by its name, and every part of the file has a title', () => {
  const found = new Set(everySetting(schema).map(({ path }) => pathText(path).replaceAll('[0]', '[]')))
  const leaves = leavesOf(schema).map((leaf) => leaf.slice(0, leaf.lastIndexOf(':')))
  const parents = leaves.map((leaf) => leaf.replace(/\[\d*\]$/, '').replace(/\.\*.*$/, ''))
  const alone = parents.filter((leaf) => !leaf.endsWith(']') && !/^alarms\./.test(leaf))
  expect([...new Set(alone)].filter((leaf) => !found.has(leaf))).toEqual([])
})

/** Words that are the trade’s own or are told by the setting’s name; units are shown as screens write them. */
const plainWords = ['low', 'medium', 'high', 'even', 'odd', 'mark', 'space', 'measured', ...physicalQuantities]

test('every choice says in words what it does, each in another way than the others beside it', () => {
  const silent: string[] = []
  for (const { path } of everySetting(schema)) {
    const node = nodeOf(schemaOf(schema, path))
    const told =
      node.kind === 'choice'
        ? node.options.map((each) => [String(each.value), optionText(path.at(-1), each)])
        : node.kind === 'kinds'
          ? node.kinds.map(({ word, label }) => [word, label])
          : []
    for (const [word = '', text = ''] of told)
      if (text === '' || (text === word && Number.isNaN(Number(word)) && !/unit$/i.test(String(path.at(-1)))))
        if (!plainWords.includes(word)) silent.push(`${pathText(path)}: ${word}`)
    if (!/unit$/i.test(String(path.at(-1)))) expect(new Set(told.map(([, text]) => text)).size).toBe(told.length)
  }
  expect(silent).toEqual([])
})

test('what is in force is told in the words of the choices', () => {
  expect(valueText('interpolated', schemaAt('corrections', 'zero'))).toBe('the line between zeros')
  expect(valueText({ rule: 'fraction', minimum: '2/3' }, schemaAt('averaging', 'validity'))).toBe(
    'a share of the time must count, minimum 2/3',
  )
  expect(valueText({ timesT95: 2 }, schemaAt('phases', 'settle'))).toBe('a multiple of each channel’s t95: 2')
  expect(valueText(['status', 'signal'], schemaAt('phases', 'from'))).toBe(
    'the instrument’s status words, the gas itself',
  )
  expect(valueText('at-once', schemaAt('run', 'start'))).toBe('at once, with the station')
  expect(valueText({ 'co-outlet': 1.02 }, schemaAt('corrections', 'span'))).toBe('co-outlet 1.02')
})

test('help that names a setting by its word of the file names it as the form does', () => {
  const { form } = aForm()
  expect(form.nameFor('conversions.ambientOxygen', [])).toBe('“Conversions › Ambient oxygen”')
  expect(form.nameFor('enterAbove', ['phases', 'signal', 'rules', 0, 'leaveBelow'])).toBe('“Enter above”')
  expect(form.nameFor('false', ['channels', 0, 'diluted'])).toBe('no')
  expect(form.nameFor('us', ['corrections', 'bias'])).toBeUndefined()
})

test('settings that name a term name one that is explained', () => {
  const known = terms.map(({ term }) => term)
  expect(Object.values(settingTerms).filter((term) => !known.includes(term))).toEqual([])
})

test('a search finds settings by name and by what their help says, in any case', () => {
  const { form } = aForm()
  form.lookFor('Reference OXYGEN')
  expect(form.found().shown.map(({ place }) => place)).toContain('conversions.referenceOxygen')
  form.lookFor('raised delay')
  expect(form.found().shown.map(({ place }) => place)).toContain('limits[0].onDelaySeconds')
  form.lookFor('half-even')
  expect(form.found().shown.map(({ place }) => place)).toEqual(['results.rounding.ties'])
  form.lookFor('no such thing')
  expect(form.found()).toEqual({ count: 0, shown: [] })
})

const station = JSON.parse(
  JSON.stringify(stationFor(readScenario('rough-night'), { kind: 'tcp', host: '127.0.0.1', port: 4001 })),
) as Settings

test('what is set and taken out again leaves the file as it was', () => {
  const settings = everySetting(schema).map(({ path }) => path)
  fc.assert(
    fc.property(fc.constantFrom(...settings), fc.jsonValue(), (path, value) => {
      fc.pre(valueAt(station, path) === undefined && path.every((key) => typeof key === 'string'))
      const set = withValue(station, path, value)
      expect(valueAt(set, path)).toEqual(value)
      expect(JSON.stringify(withValue(set, path, undefined))).toBe(JSON.stringify(station))
    }),
  )
})

test('a setting is changed in its place, and what nobody knows stays', () => {
  const before = {
    format: 1,
    mystery: { of: [1] },
    conversions: { old: true, referenceOxygen: 3, more: null },
    limits: [{}],
  }
  expect(JSON.stringify(withValue(before, ['conversions', 'referenceOxygen'], 11))).toBe(
    '{"format":1,"mystery":{"of":[1]},"conversions":{"old":true,"referenceOxygen":11,"more":null},"limits":[{}]}',
  )
  expect(withValue(before, ['limits', 0, 'deadband'], 2)).toEqual({ ...before, limits: [{ deadband: 2 }] })
  expect(before.limits).toEqual([{}])
})

test.each<[object, Path, object]>([
  [{ phases: { purge: { longestMinutes: 3 } } }, ['phases', 'purge', 'longestMinutes'], {}],
  [{ phases: { purge: {}, otherwise: 'unknown' } }, ['phases', 'otherwise'], { phases: { purge: {} } }],
  // An entry that was begun stays, and so does an empty list: no fault stops anything is a setting.
  [{ limits: [{ value: 1 }] }, ['limits', 0, 'value'], { limits: [{}] }],
  [{ phases: { faultsThatStop: ['mains'] } }, ['phases', 'faultsThatStop', 0], { phases: { faultsThatStop: [] } }],
  [{ limits: [{ id: 'a' }, { id: 'b' }] }, ['limits', 0], { limits: [{ id: 'b' }] }],
])('%j without %j is %j', (before, path, after) => {
  expect(withValue(before, path, undefined)).toEqual(after)
})

test('a setting of several kinds is told by its value, and keeps what the next kind knows too', () => {
  const node = nodeOf(schemaAt('averaging', 'validity'))
  if (node.kind !== 'kinds') throw new Error('validity is a choice of kinds')
  expect(node.kinds.map(({ word }) => word)).toEqual(['fraction', 'quadrants', 'minutes'])
  const path = ['averaging', 'validity']
  const { form, station: now } = aForm({ averaging: { validity: { rule: 'fraction', minimum: '3/4' } } })
  expect(form.kindOf(node.kinds, path)).toBe(0)
  form.chooseKind(path, node.kinds, 1)
  expect(now()).toEqual({ averaging: { validity: { rule: 'quadrants', minimum: '3/4' } } })
  form.chooseKind(path, node.kinds, -1)
  expect(now()).toEqual({})
})

test('a kind that its value does not tell yet is the one that was chosen', () => {
  const node = nodeOf(schemaAt('conversions', 'moisture'))
  if (node.kind !== 'kinds') throw new Error('moisture is a choice of kinds')
  const path = ['conversions', 'moisture']
  const { form, station: now } = aForm()
  expect(form.kindOf(node.kinds, path)).toBe(-1)
  form.chooseKind(path, node.kinds, 1)
  expect(now()).toEqual({ conversions: { moisture: {} } })
  expect(node.kinds[form.kindOf(node.kinds, path)]?.label).toBe('a fixed value')
  form.put([...path, 'percent'], 12)
  expect(now()).toEqual({ conversions: { moisture: { percent: 12 } } })
})

test('a plain word and an object are told apart, as are a number and a word', () => {
  const start = nodeOf(schemaAt('run', 'start'))
  if (start.kind !== 'kinds') throw new Error('run.start is a choice of kinds')
  const told = (value: unknown) => {
    const { form } = aForm({ run: { start: value } })
    return start.kinds[form.kindOf(start.kinds, ['run', 'start'])]?.label
  }
  expect([told('operator'), told({ at: 'x' }), told('never')]).toEqual(['by hand', 'at a time', undefined])
})

test('a fault is told at its field, and counted by all that it lies in', () => {
  const { form } = aForm({}, [
    { path: 'limits[1].value', message: 'is missing' },
    { path: 'limits[10].value', message: 'is too large' },
    { path: 'fields[0].at', message: 'of a profile in a file of its own' },
  ])
  expect(form.faultsAt(['limits', 1, 'value'])).toEqual(['is missing'])
  expect(form.faultsAt(['limits', 1])).toEqual([])
  expect(form.faultsAt(['limits', 1], true)).toEqual(['is missing'])
  expect(form.faultsAt(['limits'], true)).toHaveLength(2)
  expect(form.strayFaults().map(({ path }) => path)).toEqual(['fields[0].at'])
})

test('a jump opens all that the setting lies in', () => {
  const { form } = aForm()
  form.jump('channels[2].uncertainty.linearity')
  expect(['channels', 'channels[2]', 'channels[2].uncertainty'].map((place) => form.isOpen(place))).toEqual([
    true,
    true,
    true,
  ])
  form.jump('regime')
  expect(form.isOpen('top')).toBe(true)
  expect(pathsAlong('run.end')).toEqual(['run', 'run.end'])
})

test.each([
  ['30 min', 'PT30M'],
  ['1 h', 'PT1H'],
  ['90m', 'PT1H30M'],
  ['1 hour 30 minutes', 'PT1H30M'],
  ['4 hours', 'PT4H'],
  ['1 day', 'P1D'],
  ['day', 'P1D'],
  ['whole run', 'run'],
  ['PT6M', 'PT6M'],
  ['soon', 'soon'],
  ['0 min', '0 min'],
])('a length typed as %s is %s', (typed, iso) => {
  expect(lengthTyped(typed)).toBe(iso)
})
test.each(['PT1M', 'PT6M', 'PT30M', 'PT1H', 'PT1H30M', 'PT24H', 'P1D', 'run'])(
  '%s is shown in words that give it back',
  (iso) => {
    expect(lengthText(iso)).not.toMatch(/^P/)
    expect(lengthTyped(lengthText(iso))).toBe(iso)
  },
)

test('names of settings are words, their units stand beside them, their bounds are told', () => {
  expect(trail(schema, ['limits', 2, 'onDelaySeconds'])).toEqual(['Limits', 'Limit 3', 'On delay'])
  expect(trail(schema, ['conversions', 'normal', 'temperatureK']).slice(1)).toEqual([
    'Normal conditions',
    'Temperature',
  ])
  expect(trail(schema, ['phases', 'from']).at(-1)).toBe('Told by')
  expect(trail(schema, ['streams', 0, 'source', 'from']).at(-1)).toBe('Read from')
  // A name that was chosen by hand stands as it is; a constant is called by its key, not by what it does.
  expect(trail(schema, ['corrections', 'crossSensitivity', 'co-outlet', 'by']).slice(1)).toEqual([
    'Cross sensitivity',
    'co-outlet',
    'Answers to',
  ])
  expect(trail(schema, ['averaging', 'validity', 'rule'])).toEqual(['Averaging', 'Validity', 'Rule'])
  expect(boundsText(schemaAt('conversions', 'referenceOxygen'))).toBe('0 to 20')
  expect(boundsText({ type: 'number', exclusiveMinimum: 0 })).toBe('above 0')
})
