import { Readable } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import type { Response } from 'express'

const itemsPerPiece = 500

/**
 * Sends `{ [name]: items, …beside }` piece by piece, as fast as the reader takes it: the blocks of a long run never stand in
 * memory a second time as text, and no piece holds up the station for more than a few milliseconds.
 */
export async function sendList(
  response: Response,
  name: string,
  items: readonly unknown[],
  beside: object = {},
): Promise<void> {
  response.type('application/json')
  await pipeline(Readable.from(pieces(name, items, beside)), response)
}

function* pieces(name: string, items: readonly unknown[], beside: object): Generator<string> {
  const others = JSON.stringify(beside).slice(1, -1)
  yield `{${others}${others ? ',' : ''}${JSON.stringify(name)}:[`
  for (let from = 0; from < items.length; from += itemsPerPiece) {
    const texts = items.slice(from, from + itemsPerPiece).map((item) => JSON.stringify(item))
    yield `${from === 0 ? '' : ','}${texts.join(',')}`
  }
  yield ']}'
}
