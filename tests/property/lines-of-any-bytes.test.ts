import fc from 'fast-check'
import { expect, test } from 'vitest'
import { compileProfile } from '../../protocols/instrument/compile-profile.ts'
import { fieldFlag, type LineContent, pieces, refusalReasons } from '../../protocols/instrument/reader.ts'
import { linesOf, noon, readyProfile, readySample } from '../support/line-reading.ts'

const names = [
  'air-burn-cycles-named',
  'air-burn-cycles-columns',
  'boiler-house-columns',
  'kiln-named',
  'dryer-fixed-columns',
  'engine-nested',
  'furnace-worded',
  'roadside-air-hours',
]

/** Bytes of any kind, and lines of the sample with some bytes changed, cut out or put in: what a bad link makes of them. */
const garbled = (line: Uint8Array) =>
  fc
    .array(fc.tuple(fc.nat(line.length), fc.nat(3), fc.uint8Array({ maxLength: 4 })), { maxLength: 3 })
    .map((damages) =>
      damages.reduce(
        (bytes, [at, cut, put]) => Uint8Array.from([...bytes.subarray(0, at), ...put, ...bytes.subarray(at + cut)]),
        line,
      ),
    )
const longLine = fc
  .tuple(fc.integer({ min: 4090, max: 4100 }), fc.uint8Array({ minLength: 1, maxLength: 5 }))
  .map(([length, bytes]) => Uint8Array.from({ length }, (_, at) => bytes[at % bytes.length] ?? 0))
const anyLine = (name: string) => {
  const sample = linesOf(readySample(name))
  return fc.oneof(
    { weight: 2, arbitrary: fc.uint8Array({ maxLength: 80 }) },
    { weight: 4, arbitrary: fc.constantFrom(...sample).chain(garbled) },
    { weight: 1, arbitrary: longLine },
  )
}

const isNumberOrNone = (value: number) => Number.isFinite(value) || Number.isNaN(value)
/** Fields whose flag does not go with their value, and other numbers that are infinite. */
const faultsOf = ({ values, flags, lineTimeMs, dilutionFactor }: LineContent): unknown[] => [
  ...Array.from(values).filter(
    (value, field) => !isNumberOrNone(value) || Number.isFinite(value) !== (flags[field] === fieldFlag.value),
  ),
  ...[lineTimeMs, dilutionFactor].filter((value) => !isNumberOrNone(value)),
]

test.each(names)(
  'whatever bytes come to %s: no throw, a known reason or values that are numbers or none, and flags that say so',
  (name) => {
    fc.assert(
      fc.property(fc.array(fc.tuple(anyLine(name), fc.constantFrom(...pieces)), { maxLength: 8 }), (lines) => {
        const reader = compileProfile(readyProfile(name), { stationZone: 'Europe/Berlin', unendedCounts: true })
        for (const [bytes, piece] of lines) {
          const before = Uint8Array.from(bytes)
          const outcome = reader.read(bytes, noon, piece)
          expect(Buffer.compare(bytes, before)).toBe(0)
          expect(outcome.ok || refusalReasons.includes(outcome.reason)).toBe(true)
          expect(outcome.ok ? faultsOf(reader.content) : []).toEqual([])
        }
      }),
      { numRuns: 150 },
    )
  },
)

test.each(names)('a reader of %s that was reset reads as one that is new', (name) => {
  fc.assert(
    fc.property(fc.array(anyLine(name), { maxLength: 8 }), (lines) => {
      const read = (reader: ReturnType<typeof compileProfile>) =>
        [...lines, ...linesOf(readySample(name))].map((bytes) => {
          const outcome = reader.read(bytes, noon, 'whole')
          return outcome.ok
            ? [
                Array.from(reader.content.values),
                Array.from(reader.content.flags),
                reader.content.lineTimeMs,
                reader.content.status,
              ]
            : outcome
        })
      const used = compileProfile(readyProfile(name), { stationZone: 'Europe/Berlin' })
      read(used)
      used.reset()
      expect(read(used)).toEqual(read(compileProfile(readyProfile(name), { stationZone: 'Europe/Berlin' })))
    }),
    { numRuns: 40 },
  )
})

test('a wrong baud rate gives no values: a minute of random bytes', () => {
  fc.assert(
    fc.property(fc.array(fc.uint8Array({ minLength: 1, maxLength: 120 }), { maxLength: 60 }), (lines) => {
      const reader = compileProfile(readyProfile('air-burn-cycles-named'), { stationZone: 'UTC' })
      expect(lines.filter((bytes) => reader.read(bytes, noon, 'whole').ok)).toEqual([])
    }),
  )
})
