import { Readable } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import { setImmediate as nextTurn } from 'node:timers/promises'
import type { Response } from 'express'

const itemsPerPiece = 250

/**
 * Sends `{ [name]: items }` piece by piece, as fast as the reader takes it, and lets all else have its turn between two
 * pieces: the averages of a long run are never in memory together, nor do they hold up the station for more than some
 * milliseconds, where the items are made as they are asked for. Rejects before anything is sent where the first cannot be
 * made; what fails later cuts the answer off.
 */
export async function sendList(response: Response, name: string, items: Iterable<unknown>): Promise<void> {
  const each = items[Symbol.iterator]()
  const first = each.next()
  response.type('application/json')
  await pipeline(Readable.from(pieces(name, each, first)), response)
}

async function* pieces(name: string, each: Iterator<unknown>, first: IteratorResult<unknown>): AsyncGenerator<string> {
  try {
    let text = `{${JSON.stringify(name)}:[`
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
