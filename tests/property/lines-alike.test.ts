import fc from 'fast-check'
import { expect, test } from 'vitest'
import { compileProfile } from '../../protocols/instrument/compile-profile.ts'
import type { LineReader } from '../../protocols/instrument/reader.ts'
import { aProfile, linesOf, noon, readyProfile, readySample } from '../support/line-reading.ts'

// A line that looks like the one before is read in a quicker way. One that no profile here can read leaves a reader as it
// was but for that: after it a line is read the long way. Both ways must give the very same.

const decoder = new TextDecoder('latin1')
const bytesOf = (text: string) => Uint8Array.from(text, (character) => character.charCodeAt(0) & 0xff)
const unreadable = bytesOf('x')

const told = (reader: LineReader, line: Uint8Array) => {
  const outcome = reader.read(line, noon, 'whole')
  const { values, flags, lineTimeMs, status, dilutionFactor } = reader.content
  return outcome.ok
    ? { values: Array.from(values), flags: Array.from(flags), lineTimeMs, status, dilutionFactor }
    : { reason: outcome.reason, detail: outcome.detail }
}

/** Texts of lines that differ in digits, signs, marks and blanks, and now and then in anything. */
const nearly = (samples: readonly string[]) => {
  const character = fc.constantFrom(...'0123456789', '-', '+', '.', ',', ' ', ';', '=', 'e', '"', '\t', 'A', '\0', 'é')
  const change = fc.tuple(fc.nat(), fc.constantFrom(0, 1, 1, 1, 2), fc.string({ unit: character, maxLength: 2 }))
  const digits = fc.array(fc.nat(9), { minLength: 12, maxLength: 12 })
  return fc
    .tuple(fc.constantFrom(...samples), digits, fc.array(change, { maxLength: 2 }), fc.boolean())
    .map(([sample, others, changes, isChanged]) => {
      let next = 0
      const redrawn = sample.replace(/\d/g, (digit) => {
        next++
        return next % 3 === 0 ? String(others[next % 12]) : digit
      })
      return isChanged
        ? changes.reduce((text, [at, cut, put]) => {
            const place = at % (text.length + 1)
            return text.slice(0, place) + put + text.slice(place + cut)
          }, redrawn)
        : redrawn
    })
}

const odd = {
  'key-value with a unit, padded': aProfile({
    form: 'key-value',
    fields: [
      { name: 'o2', at: 'O2', unitSuffix: '%' },
      { name: 'co', at: 'CO', unitSuffix: 'ppm' },
      { name: 'again', at: 'NO' },
    ],
    missing: ['-99', '---'],
  }),
  'columns, some asked for by no one': aProfile({
    delimiter: ',',
    columns: 'exactly',
    fields: [
      { name: 'o2', at: 1 },
      { name: 'co', at: 3 },
    ],
    time: { fields: [0], format: 'HH:mm:ss', zone: 'UTC' },
    dilution: { state: 'not-in-the-values', field: 'co' },
  }),
  'columns between blanks': aProfile({
    delimiter: ' ',
    fields: [
      { name: 'o2', at: 0 },
      { name: 'co', at: 2 },
    ],
  }),
  'a header of numbers': aProfile({
    header: true,
    fields: [
      { name: 'o2', at: '1' },
      { name: 'co', at: '2' },
    ],
  }),
}
const oddSamples: Readonly<Record<keyof typeof odd, readonly string[]>> = {
  'key-value with a unit, padded': [
    'O2=20.9%;CO= 112 ppm;NO=7',
    'O2=20.9%;CO=  12 ppm;NO=-99',
    'O2=1%;CO=1 ppm;X=4;NO=2',
  ],
  'columns, some asked for by no one': ['10:00:01,20.9,x7,112,9', '10:00:02,20.8,x8,113,', '10:01:00, 5.1 ,"a",7,1,,'],
  'columns between blanks': ['20.9 4 112', '  5.1  44  7', '20.9\t4\t112'],
  'a header of numbers': ['1;2', '7;8', '5;6'],
}

const cases = [
  ...[
    'air-burn-cycles-named',
    'air-burn-cycles-columns',
    'boiler-house-columns',
    'kiln-named',
    'roadside-air-hours',
  ].map((name) => [name, readyProfile(name), linesOf(readySample(name)).map((line) => decoder.decode(line))] as const),
  ...Object.entries(odd).map(([name, profile]) => [name, profile, oddSamples[name as keyof typeof odd]] as const),
]

test.each(cases)('%s: a line reads the same whether or not it looks like the one before', (_, profile, samples) => {
  fc.assert(
    fc.property(fc.array(nearly(samples), { minLength: 2, maxLength: 24 }), (texts) => {
      const quick = compileProfile(profile, { stationZone: 'Europe/Berlin' })
      const long = compileProfile(profile, { stationZone: 'Europe/Berlin' })
      let isInData = false // before, it might pass for a row of units
      for (const text of [...samples.slice(0, 4), ...texts]) {
        if (isInData) long.read(unreadable, noon, 'whole')
        const line = bytesOf(text)
        const expected = told(long, line)
        expect(told(quick, line)).toEqual(expected)
        if (!('reason' in expected)) isInData = true
        else if (expected.reason === 'header') isInData = false
      }
    }),
    { numRuns: 150 },
  )
})
