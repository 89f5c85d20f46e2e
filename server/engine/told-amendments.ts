import type { Amendments, Check, Exclusion } from './amendments.ts'
import type { EngineEvent } from './events.ts'

/** Who took an amendment back, when and why. */
export interface Withdrawal {
  readonly by: string
  readonly toldMs: number
  readonly reason: string
}
type Told<Said> = Said & { readonly by: string; readonly toldMs: number; readonly withdrawn: Withdrawal | null }

/** All that was ever said of a run, in the order in which it was told; `withdrawn` null: it is in force. */
export function toldAmendments(events: Iterable<EngineEvent>): {
  readonly exclusions: readonly Told<Exclusion>[]
  readonly checks: readonly Told<Check>[]
} {
  const exclusions: Told<Exclusion>[] = []
  const checks: Told<Check>[] = []
  const takeBack = <Said extends { readonly id: string; readonly withdrawn: Withdrawal | null }>(
    told: Said[],
    id: string,
    withdrawn: Withdrawal,
  ): void => {
    const place = told.findIndex((one) => one.id === id && one.withdrawn === null)
    const found = told[place]
    if (found) told[place] = { ...found, withdrawn }
  }
  for (const event of events) {
    if (event.kind !== 'operator') continue
    const { action, by, atMs: toldMs } = event
    if (action.do === 'exclude') exclusions.push({ ...action.exclusion, by, toldMs, withdrawn: null })
    if (action.do === 'check') checks.push({ ...action.check, by, toldMs, withdrawn: null })
    if (action.do !== 'withdraw') continue
    takeBack(exclusions, action.id, { by, toldMs, reason: action.reason })
    takeBack(checks, action.id, { by, toldMs, reason: action.reason })
  }
  return { exclusions, checks }
}

/** What recorded events amend, in the order in which it was told. What was withdrawn is gone. */
export function amendmentsOf(events: Iterable<EngineEvent>): Amendments {
  const { exclusions, checks } = toldAmendments(events)
  return { exclusions: inForce(exclusions), checks: inForce(checks) }
}

const inForce = <Said extends { readonly withdrawn: Withdrawal | null }>(
  told: readonly Said[],
): Omit<Said, 'withdrawn'>[] => told.flatMap(({ withdrawn, ...said }) => (withdrawn === null ? [said] : []))

/** Whether an event amends a run. Such an event changes nothing that was lived through, not even by its time. */
export const isAmendment = (event: EngineEvent): boolean =>
  event.kind === 'operator' && ['exclude', 'check', 'withdraw'].includes(event.action.do)

export const amends = ({ exclusions, checks }: Amendments): boolean => exclusions.length + checks.length > 0
