import fc from 'fast-check'
import { expect, test } from 'vitest'
import { checkProfile } from '../../protocols/instrument/check-profile.ts'
import { lineProfile } from '../../protocols/instrument/profile.ts'
import { plainProfile } from '../../protocols/instrument/propose/plain-profile.ts'
import { previewLines } from '../../protocols/instrument/propose/preview.ts'
import { proposeProfile } from '../../protocols/instrument/propose/propose.ts'
import { linesOf, readySample } from '../support/line-reading.ts'

const samples = ['air-burn-cycles-columns', 'kiln-named', 'dryer-fixed-columns', 'engine-nested', 'furnace-worded']
const sampleLine = fc.constantFrom(...samples.flatMap((name) => linesOf(readySample(name))))
const anyLine = fc.oneof(
  fc.uint8Array({ maxLength: 60 }),
  fc.string({ unit: 'binary', maxLength: 40 }).map((text) => new TextEncoder().encode(text)),
  fc.stringMatching(/^[0-9.,;:= {}"[\]*#A-Za-z+-]{0,60}$/).map((text) => new TextEncoder().encode(text)),
  sampleLine,
  fc
    .tuple(sampleLine, fc.nat(60), fc.uint8Array({ maxLength: 3 }))
    .map(([line, at, put]) => Uint8Array.from([...line.subarray(0, at), ...put, ...line.subarray(at + 1)])),
)

test('whatever the bytes: no throw, and what is proposed is a sound profile that the preview can read by', () => {
  fc.assert(
    fc.property(fc.array(anyLine, { maxLength: 30 }), fc.boolean(), (lines, byPosition) => {
      const proposal = proposeProfile(lines, { byPosition })
      if (!proposal.ok) {
        expect(proposal.tried.length).toBeGreaterThan(0)
        return
      }
      expect(checkProfile(proposal.profile)).toEqual([])
      expect(lineProfile.parse(plainProfile(proposal.profile))).toEqual(proposal.profile)
      const preview = previewLines(
        proposal.profile,
        lines.map((bytes) => ({ bytes, atMs: 0 })),
        'UTC',
      )
      expect(preview.filter(({ read }) => read.ok).length).toBe(proposal.lines.read)
      for (const confidence of [proposal.confidence, ...proposal.columns.map((column) => column.confidence)])
        expect(confidence >= 0 && confidence <= 1).toBe(true)
    }),
    { numRuns: 300 },
  )
})

/** Lines made to hurt: each as long as a line may be. Common ways to make cutting and matching slow. */
const hurtful: readonly [string, string][] = [
  ['blanks', ' '.repeat(4000)],
  ['blanks and a digit', `${' '.repeat(3990)}1`],
  ['delimiters', ';,|\t= '.repeat(680)],
  ['digits', '1'.repeat(4000)],
  ['digits and points', '1.'.repeat(2000)],
  ['times', '12:00:00 '.repeat(440)],
  ['open quotes', '"1,'.repeat(1300)],
  ['open brackets', '['.repeat(4000)],
  ['keys', Array.from({ length: 500 }, (_, at) => `k${at}=1`).join(';')],
  ['words', 'ab '.repeat(1300)],
  ['signs', '+-'.repeat(2000)],
]

test.each(hurtful)('a proposal from the longest lines of %s takes less than 10 ms a line', (_, text) => {
  const line = new TextEncoder().encode(`${text}\n`)
  const timed = (count: number): number => {
    const lines = Array.from({ length: count }, () => line)
    // The processor's time: what else the machine does takes none of it.
    const before = process.cpuUsage()
    proposeProfile(lines)
    const { user, system } = process.cpuUsage(before)
    return (user + system) / 1000
  }
  timed(20)
  // Our own bound, three times what the slowest took; growth with the square of a line’s length would be far beyond it.
  expect(timed(200) / 200).toBeLessThan(10)
})
