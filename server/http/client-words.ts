import type { RawData } from 'ws'
import { z } from 'zod'
import { type ClientMessage, clientMessage } from '../../protocols/live/messages.ts'

export type Heard =
  | { readonly is: 'message'; readonly message: ClientMessage }
  | { readonly is: 'unknown' }
  | { readonly is: 'malformed' }

const anyMessage = z.looseObject({ type: z.string() })
const knownTypes: ReadonlySet<string> = new Set(
  clientMessage.def.options.flatMap((option) => option.shape.type.def.values),
)

/** Reads what a viewer sends. A type that is not known here comes from a newer page and does no harm; never throws. */
export function heard(data: RawData, isBinary: boolean): Heard {
  if (isBinary) return { is: 'malformed' }
  let value: unknown
  try {
    value = JSON.parse(String(data))
  } catch {
    return { is: 'malformed' } // The viewer is told by the close code.
  }
  const some = anyMessage.safeParse(value)
  if (!some.success) return { is: 'malformed' }
  if (!knownTypes.has(some.data.type)) return { is: 'unknown' }
  const read = clientMessage.safeParse(value)
  return read.success ? { is: 'message', message: read.data } : { is: 'malformed' }
}
