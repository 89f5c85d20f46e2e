import type { TestSpecification } from 'vitest/node'
import { BaseSequencer } from 'vitest/node'

/** The files that take longest, by what they are called: they begin first, so that none is left alone at the end. */
const longest = [
  'night-at-speed',
  'seeded-nights',
  'checks-after-the-run',
  'explain-and-amend',
  'all-settings',
  'set-up',
  'dashboard-truth',
  'dashboard',
  'explain-witness',
  'amend-live',
  'states-page',
  'two-commands',
  'documents-say-what-comes',
  'dashboard-alarms',
  'calculations',
]

/** Orders files alike on every machine, whatever ran there before: the longest first, the others by their size. */
export default class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const place = ({ moduleId }: TestSpecification): number => {
      const found = longest.findIndex((name) => moduleId.endsWith(`/${name}.e2e.ts`))
      return found < 0 ? longest.length : found
    }
    return (await super.sort(files)).toSorted((one, other) => place(one) - place(other))
  }
}
