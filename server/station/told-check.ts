import type { ActionRequest } from '../../protocols/live/requests.ts'
import type { Check } from '../engine/amendments.ts'
import type { StationFile } from '../engine/settings/station-file.ts'
import type { Outcome } from '../http/station-face.ts'

type Refusal = Extract<Outcome, { ok: false }>

/** A check as it was told to the running station, or why it cannot be taken. It belongs to the run that is on, whenever it was made. */
export function toldCheck(
  station: StationFile,
  { kind, channel: id, performedMs, expected, response, direct, gas }: Extract<ActionRequest, { do: 'check' }>,
  nowMs: number,
  isStandby: boolean,
): Refusal | { readonly ok: true; readonly check: Check } {
  const refused = (status: Refusal['status'], error: string): Refusal => ({ ok: false, status, errors: [error] })
  const channel = station.channels.find((one) => one.id === id)
  if (!channel)
    return refused(404, `there is no channel “${id}”; channels are ${station.channels.map((one) => one.id).join(', ')}`)
  if (!channel.species || channel.sumOf || channel.origin === 'computed')
    return refused(400, `channel: “${id}” is no gas that the instrument measures; check what it is formed from`)
  if (kind === 'span' && !(expected > 0)) return refused(400, 'expected: a span gas holds more than 0')
  if (performedMs !== undefined && performedMs > nowMs)
    return refused(400, 'performedMs: a check that is told has been made; this time is yet to come')
  if (isStandby)
    return refused(
      409,
      'no run is on that the check could belong to: tell it during the run, with the time at which it was made',
    )
  return {
    ok: true,
    check: {
      id: `check-${nowMs}-${kind}-${id}`,
      kind,
      channel: id,
      performedMs: performedMs ?? nowMs,
      expected,
      response,
      direct,
      gas,
    },
  }
}
