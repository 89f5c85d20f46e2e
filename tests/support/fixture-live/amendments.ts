import type { AmendAnswer, AmendmentsAnswer, AmendRequest } from '../../../protocols/live/amend.ts'
import { hour, minute, nightStart } from './scenario.ts'

/** INVENTED: what was said of the invented night. Telling more is not part of it; taking back is. */
export function inventedAmendments(now: () => number) {
  const by = 'M. Example'
  const toldMs = nightStart + 3 * hour
  const answer: AmendmentsAnswer = {
    exclusions: [
      {
        id: 'exclusion-1',
        fromMs: nightStart + 2 * hour,
        toMs: nightStart + 2 * hour + 5 * minute,
        stream: null,
        channel: null,
        reason: 'probe out of the duct',
        by,
        toldMs,
        withdrawn: null,
      },
    ],
    checks: [
      {
        id: 'check-2-span-co',
        kind: 'span',
        channel: 'co',
        performedMs: nightStart - 20 * minute,
        expected: 400,
        response: 391.5,
        direct: 392,
        gas: 'invented cylinder 7',
        by,
        toldMs,
        withdrawn: { by, toldMs: toldMs + minute, reason: 'it was another cylinder' },
      },
    ],
    changesInAll: 14,
    changes: [],
  }
  const withdraw = (request: AmendRequest): AmendAnswer | null => {
    const told = [...answer.exclusions, ...answer.checks].find(
      ({ id, withdrawn }) => request.do === 'withdraw' && id === request.id && withdrawn === null,
    )
    if (request.do !== 'withdraw' || !told) return null
    told.withdrawn = { by: request.by, toldMs: now(), reason: request.reason }
    return { ok: true, errors: [], id: told.id, changed: 7 }
  }
  return { answer: () => answer, withdraw }
}
