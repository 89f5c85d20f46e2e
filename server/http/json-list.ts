import { Readable } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import { setImmediate as nextTurn } from 'node:timers/promises'
import type { Response } from 'express'

const itemsPerPiece = 250

/**
 * Sends `{ …beside, [name]: items }` piece by piece, as fast as the reader takes it, and lets all else have its turn between two
 * pieces: the averages of a long run are never in memory together, nor do they hold up the station for more than some
 * milliseconds, where the items are made as they are asked for. Rejects before anything is sent where the first cannot be
 * made; what fails later cuts the answer off.
 */
export async function sendList(
  response: Response,
  name: string,
  items: Iterable<unknown>,
  beside: object = {},
): Promise<void> {
  const each = items[Symbol.iterator]()
  const first = each.next()
  response.type('application/json')
  await pipeline(Readable.from(pieces(JSON.stringify({ ...beside, [name]: [] }).slice(0, -2), each, first)), response)
}

/** `head`: all up to the list's first item. */
async function* pieces(head: string, each: Iterator<unknown>, first: IteratorResult<unknown>): AsyncGenerator<string> {
  try {
    let text = head
    let count = 0
    for (let next = first; !next.done; next = each.next()) {
      text += `${count === 0 ? '' : ','}${JSON.stringify(next.value)}`
      if (++count % itemsPerPiece > 0) continue
      yield text
      text = ''
      await nextTurn()
    }
    yield `${text}]}`
  } finally {
    each.return?.() // Whoever asked may have left: what stands open behind the items is closed then.
  }
}
