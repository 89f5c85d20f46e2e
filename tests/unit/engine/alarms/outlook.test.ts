import { describe, expect, test } from 'vitest'
import { outlook as outlookMessage } from '../../../../protocols/live/messages.ts'
import { advises, outlookOf, type RunningBlock } from '../../../../server/engine/alarms/outlook.ts'
import { coverageWatched, isCoverageAtRisk, validityAhead } from '../../../../server/engine/alarms/validity-outlook.ts'
import { aLimit, stationWith } from '../../../support/alarm-station.ts'

const minute = 60_000
const twoThirds = { rule: 'fraction', minimum: '2/3' } as const
const asQuadrants = (purgeIsQualityAssurance: boolean) =>
  ({ rule: 'quadrants', purgeIsQualityAssurance, minimum: '2/3' }) as const

/** Half an hour, half gone and all of it counted: mean 40, level 40 ± 1, limit 50. */
const halfGone = (differs: Partial<RunningBlock> = {}): RunningBlock => ({
  limit: { id: 'limit:co', channel: 'co', kind: 'high', value: 50 },
  average: 'PT30M',
  startMs: 0,
  endMs: 30 * minute,
  decidedMs: 15 * minute,
  countsAgainMs: 0,
  comingExcludedMs: 0,
  countedMs: 15 * minute,
  denominatorMs: 30 * minute,
  mean: 40,
  level: 40,
  spread: 1,
  points: null,
  hasQualityAssurance: false,
  ...differs,
})

describe('heading', () => {
  test('a steady block is heading where it stands', () => {
    expect(outlookOf(halfGone(), twoThirds)).toMatchObject({
      soFar: 40,
      likelyLow: 39,
      likelyHigh: 41,
      heading: 'below',
      reachesLimitMs: null,
    })
  })

  // By hand: 15 min at 40 and 15 min at 70 ± 2 × 2 make (40 + 66)/2 = 53 to (40 + 74)/2 = 57. The limit needs
  // 50 × 30 − 40 × 15 = 900 ppm·min more; at 70 ppm that takes 12.857 min.
  test('a level well over the limit carries the mean over it, and the moment is told', () => {
    const seen = outlookOf(halfGone({ level: 70, spread: 2 }), twoThirds)
    expect(seen).toMatchObject({ likelyLow: 53, likelyHigh: 57, heading: 'above' })
    expect(seen.reachesLimitMs).toBeCloseTo((15 + 900 / 70) * minute, 3)
  })

  test('a spread that straddles the limit is undecided', () => {
    expect(outlookOf(halfGone({ level: 60, spread: 5 }), twoThirds).heading).toBe('undecided')
  })

  test('time that will not count does not pull the mean', () => {
    expect(outlookOf(halfGone({ level: 100, comingExcludedMs: 15 * minute }), twoThirds)).toMatchObject({
      likelyHigh: 40,
      heading: 'below',
    })
  })

  test('a mean that cannot fall back under the limit has reached it now', () => {
    expect(outlookOf(halfGone({ mean: 120, level: 0, spread: 0 }), twoThirds)).toMatchObject({
      heading: 'above',
      reachesLimitMs: 15 * minute,
    })
  })

  test('until enough has counted nothing is said', () => {
    expect(outlookOf(halfGone({ countedMs: 2 * minute }), twoThirds).heading).toBe('cannot-tell')
    expect(outlookOf(halfGone({ mean: null }), twoThirds)).toMatchObject({ heading: 'cannot-tell', likelyLow: null })
  })

  test('what is said fits the message to the screens', () => {
    expect(() => outlookMessage.parse(outlookOf(halfGone(), twoThirds))).not.toThrow()
  })
})

test('advice comes with the heading, stays while it is undecided, and goes with it', () => {
  expect(advises({ heading: 'undecided' }, 'high', false)).toBe(false)
  expect(advises({ heading: 'above' }, 'high', false)).toBe(true)
  expect(advises({ heading: 'undecided' }, 'high', true)).toBe(true)
  expect(advises({ heading: 'cannot-tell' }, 'high', true)).toBe(false)
  expect(advises({ heading: 'above' }, 'low', true)).toBe(false)
})

describe('validity ahead', () => {
  test.each([
    { counted: 20, decided: 25, validity: 'met', because: 'exactly two thirds of 30 min is 20 min (AV-10)' },
    { counted: 10, decided: 15, validity: 'on-course', because: '10 + 15 ≥ 20' },
    { counted: 10, decided: 20, validity: 'on-course', because: '10 + 10 = 20' },
    { counted: 10, decided: 21, validity: 'lost', because: '10 + 9 < 20' },
  ])(
    'fraction: $counted min counted at minute $decided is $validity, since $because',
    ({ counted, decided, validity }) => {
      expect(validityAhead(twoThirds, halfGone({ countedMs: counted * minute, decidedMs: decided * minute }))).toEqual({
        validity,
        neededMs: 20 * minute,
      })
    },
  )

  test('fraction: at risk where only a purge that is known to come stands between', () => {
    expect(
      validityAhead(
        twoThirds,
        halfGone({ countedMs: 10 * minute, decidedMs: 15 * minute, comingExcludedMs: 6 * minute }),
      ).validity,
    ).toBe('at-risk')
  })

  test('fraction: time in which the plant does not run is not asked for', () => {
    expect(
      validityAhead(
        twoThirds,
        halfGone({ countedMs: 10 * minute, decidedMs: 30 * minute, denominatorMs: 15 * minute }),
      ),
    ).toEqual({ validity: 'met', neededMs: 10 * minute })
  })

  test('minutes: the counted minutes decide', () => {
    expect(validityAhead({ rule: 'minutes', minimum: 21 }, halfGone({ countedMs: 5 * minute })).validity).toBe('lost')
    expect(validityAhead({ rule: 'minutes', minimum: 21 }, halfGone())).toEqual({
      validity: 'on-course',
      neededMs: 21 * minute,
    })
  })

  /** An hour at the given minute with points in some quarters. */
  const anHour = (decidedMinute: number, perQuadrant: number[], differs: Partial<RunningBlock> = {}) =>
    halfGone({
      endMs: 60 * minute,
      decidedMs: decidedMinute * minute,
      points: { perQuadrant, firstMs: 5 * minute, lastMs: 10 * minute },
      ...differs,
    })

  test.each([
    { at: 50, filled: [1, 1, 1, 1], validity: 'met' },
    { at: 40, filled: [1, 1, 0, 0], validity: 'on-course' },
    { at: 50, filled: [1, 0, 1, 1], validity: 'lost' },
    { at: 59, filled: [9, 9, 9, 0], validity: 'on-course' },
  ])('quadrants (40 CFR 60.13(h)(2)(i)): points $filled at minute $at are $validity', ({ at, filled, validity }) => {
    expect(validityAhead(asQuadrants(false), anHour(at, filled))).toEqual({ validity, neededMs: null })
  })

  test('quadrants: a purge that outlasts the quarter puts it at risk', () => {
    expect(validityAhead(asQuadrants(false), anHour(40, [1, 1, 0, 0], { countsAgainMs: 46 * minute })).validity).toBe(
      'at-risk',
    )
  })

  test('quadrants with quality assurance (40 CFR 60.13(h)(2)(iii)): two points 15 minutes apart are enough', () => {
    const withWork = { hasQualityAssurance: true }
    expect(validityAhead(asQuadrants(true), anHour(50, [1, 0, 0, 0], withWork)).validity).toBe('on-course')
    expect(
      validityAhead(
        asQuadrants(true),
        anHour(50, [1, 1, 0, 0], {
          ...withWork,
          points: { perQuadrant: [1, 1, 0, 0], firstMs: 0, lastMs: 15 * minute },
        }),
      ).validity,
    ).toBe('met')
    expect(validityAhead(asQuadrants(true), anHour(50, [0, 0, 0, 0], withWork)).validity).toBe('lost')
    expect(
      validityAhead(asQuadrants(true), anHour(30, [0, 0, 0, 0], { ...withWork, countsAgainMs: 50 * minute })).validity,
    ).toBe('at-risk')
  })

  test('quadrants: other lengths than an hour use the fraction', () => {
    expect(validityAhead(asQuadrants(false), halfGone()).neededMs).toBe(20 * minute)
  })

  test('coverage is at risk when it is in doubt or lost', () => {
    expect((['met', 'on-course', 'at-risk', 'lost'] as const).map(isCoverageAtRisk)).toEqual([false, false, true, true])
  })

  test('coverage is watched for blocks with a limit, else for the longest', () => {
    const blocks = ['PT1M', 'PT30M', 'PT1H']
    expect(coverageWatched(stationWith({ averaging: { blocks } }))).toEqual(['PT1H'])
    expect(
      coverageWatched(stationWith({ averaging: { blocks }, limits: [aLimit({ of: 'block', average: 'PT30M' })] })),
    ).toEqual(['PT30M'])
  })
})
