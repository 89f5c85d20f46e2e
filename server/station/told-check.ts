import type { ActionRequest } from '../../protocols/live/requests.ts'
import type { Check } from '../engine/amendments.ts'
import type { StationFile } from '../engine/settings/station-file.ts'
import type { Refused } from '../http/station-face.ts'

type CheckRequest = Pick<
  Extract<ActionRequest, { do: 'check' }>,
  'kind' | 'channel' | 'expected' | 'response' | 'direct' | 'gas'
>

/** Whether something that a person tells can have been then: what is recorded is sealed, so that no other could be put right again. */
export const isToldTime = (ms: number): boolean => Number.isInteger(ms) && ms >= 0
export const toldTimeRule = 'must be whole milliseconds since 1970 UTC, not before'

const idStart = 'check-'
export const isCheckId = (id: string): boolean => id.startsWith(idStart)

/** A check as it was told of a recording, or why it cannot be taken. `number`: makes its id one of its own. */
export function checkOf(
  station: StationFile,
  { kind, channel: id, expected, response, direct, gas }: CheckRequest,
  performedMs: number,
  latestMs: number,
  number: number,
): Refused | { readonly ok: true; readonly check: Check } {
  const refused = (status: Refused['status'], error: string): Refused => ({ ok: false, status, errors: [error] })
  const channel = station.channels.find((one) => one.id === id)
  if (!channel)
    return refused(404, `there is no channel “${id}”; channels are ${station.channels.map((one) => one.id).join(', ')}`)
  if (!channel.species || channel.sumOf || channel.origin === 'computed')
    return refused(400, `channel: “${id}” is no gas that the instrument measures; check what it is formed from`)
  if (kind === 'span' && !(expected > 0)) return refused(400, 'expected: a span gas holds more than 0')
  if (!isToldTime(performedMs)) return refused(400, `performedMs: ${toldTimeRule}`)
  if (performedMs > latestMs)
    return refused(400, 'performedMs: a check that is told has been made; this time is yet to come')
  const check: Check = {
    id: `${idStart}${number}-${kind}-${id}`,
    kind,
    channel: id,
    performedMs,
    expected,
    response,
    direct,
    gas,
  }
  return { ok: true, check }
}

/** A check as it was told to the running station, or why it cannot be taken. It belongs to the run that is on, whenever it was made. `number`: as above. */
export function toldCheck(
  station: StationFile,
  request: Extract<ActionRequest, { do: 'check' }>,
  nowMs: number,
  isStandby: boolean,
  number: number,
): Refused | { readonly ok: true; readonly check: Check } {
  const told = checkOf(station, request, request.performedMs ?? nowMs, nowMs, number)
  if (told.ok && isStandby)
    return {
      ok: false,
      status: 409,
      errors: [
        'no run is on that the check could belong to: tell it of its recording, with the time at which it was made',
      ],
    }
  return told
}
