import type { Amendments } from './amendments.ts'
import type { EngineEvent } from './events.ts'

/** What recorded events amend, in the order in which it was told. What was withdrawn is gone. */
export function amendmentsOf(events: Iterable<EngineEvent>): Amendments {
  const exclusions: Amendments['exclusions'][number][] = []
  const checks: Amendments['checks'][number][] = []
  const drop = (from: { readonly id: string }[], id: string): void => {
    const place = from.findIndex((told) => told.id === id)
    if (place >= 0) from.splice(place, 1)
  }
  for (const event of events) {
    if (event.kind !== 'operator') continue
    const { action, by, atMs } = event
    if (action.do === 'exclude') exclusions.push({ ...action.exclusion, by, toldMs: atMs })
    if (action.do === 'check') checks.push({ ...action.check, by, toldMs: atMs })
    if (action.do !== 'withdraw') continue
    drop(exclusions, action.id)
    drop(checks, action.id)
  }
  return { exclusions, checks }
}

/** Whether an event amends a run. Such an event changes nothing that was lived through, not even by its time. */
export const isAmendment = (event: EngineEvent): boolean =>
  event.kind === 'operator' && ['exclude', 'check', 'withdraw'].includes(event.action.do)

export const amends = ({ exclusions, checks }: Amendments): boolean => exclusions.length + checks.length > 0
