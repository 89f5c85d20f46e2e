import { realpath } from 'node:fs/promises'
import { type FoundPort, listPorts } from './ports.ts'
import { portTexts } from './trouble-texts.ts'

export type ResolvedPort =
  | { readonly ok: true; readonly device: string }
  | { readonly ok: false; readonly detail: string }

/**
 * The device that a station file's `path` stands for now: a path (followed through its links), or else a serial number or
 * part of a by-id name that fits exactly one port.
 */
export async function resolvePort(
  name: string,
  list: () => Promise<readonly FoundPort[]> = listPorts,
): Promise<ResolvedPort> {
  if (name.startsWith('/')) {
    return realpath(name).then(
      (device) => ({ ok: true, device }),
      () => ({ ok: false, detail: portTexts.missing(name) }),
    )
  }
  const ports = await list()
  const exact = ports.filter(
    (port) => port.device === name || port.serialNumber === name || port.byId?.endsWith(`/${name}`),
  )
  const fitting = exact.length > 0 ? exact : ports.filter((port) => port.byId?.includes(name))
  const [only, ...others] = fitting
  if (!only) return { ok: false, detail: portTexts.unknown(name) }
  if (others.length > 0)
    return {
      ok: false,
      detail: portTexts.ambiguous(
        name,
        fitting.map((port) => port.recommended),
      ),
    }
  return { ok: true, device: only.device }
}
