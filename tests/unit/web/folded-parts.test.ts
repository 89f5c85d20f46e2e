import { expect, test } from 'vitest'
import type { Shade } from '../../../web/parts/phase-pattern.ts'
import type { RibbonPart } from '../../../web/parts/phase-ribbon.ts'
import { foldedParts } from '../../../web/views/watch/folded-parts.ts'

// What a picture shows of phases that are narrower than its pixels: a rule of our own, no source.

const minute = 60_000
const part = (shade: Shade, from: number, to: number, more: Partial<RibbonPart> = {}): RibbonPart => ({
  shade,
  word: shade,
  startMs: from * minute,
  endMs: to * minute,
  ...more,
})
const brief = (parts: readonly RibbonPart[]) =>
  parts.map(({ shade, word, startMs, endMs, isMark }) =>
    [isMark ? 'mark' : word, shade, startMs / minute, endMs / minute].join(' '),
  )
/** A cycle of half an hour: 25 minutes measured, 5 of purge. `fault`: a minute of one in its middle. */
const cycle = (number: number, fault = false): RibbonPart[] => {
  const at = number * 30
  return fault
    ? [
        part('measure', at, at + 12),
        part('fault', at + 12, at + 13),
        part('measure', at + 13, at + 25),
        part('purge', at + 25, at + 30),
      ]
    : [part('measure', at, at + 25), part('purge', at + 25, at + 30)]
}

test('what is as wide as a pixel stays as it is', () => {
  const parts = [...cycle(0), ...cycle(1)]
  expect(foldedParts(parts, 5 * minute)).toEqual(parts)
})

test('cycles narrower than a pixel are one stretch that says what took most of it', () => {
  const day = Array.from({ length: 48 }, (_, number) => cycle(number)).flat()
  expect(brief(foldedParts(day, 60 * minute))).toEqual(['Mostly measure measure 0 1440'])
})

test('a fault of a minute in a month is marked in its column and takes nothing else away', () => {
  const month = Array.from({ length: 48 * 30 }, (_, number) => cycle(number, number === 700)).flat()
  expect(brief(foldedParts(month, 48 * minute))).toEqual(['Mostly measure measure 0 43200', 'mark fault 21012 21013'])
})

test.each(['fault', 'unknown', 'gap', 'excluded'] as const)('%s is never lost, however short', (shade) => {
  const folded = foldedParts(
    [part('measure', 0, 500), part(shade, 500, 500.01), part('measure', 500.01, 900)],
    60 * minute,
  )
  expect(folded.filter(({ isMark }) => isMark).map((found) => found.shade)).toEqual([shade])
})

test('several faults in one column are one mark, in two columns two', () => {
  const faults = [3, 7, 11, 63].map((at) => part('fault', at, at + 1))
  expect(foldedParts(faults, 60 * minute).filter(({ isMark }) => isMark)).toHaveLength(2)
})

test('what was excluded of one channel lies over the phases of its stream and takes no time from them', () => {
  const parts = [part('measure', 0, 20), part('excluded', 5, 8, { channel: 'co' }), part('measure', 20, 40)]
  expect(brief(foldedParts(parts, 60 * minute))).toEqual(['mark excluded 5 8', 'measure measure 0 40'])
})
