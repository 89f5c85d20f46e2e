import { asDamage, type Connection, openForReading } from './database.ts'
import { readHeader } from './header.ts'
import { newestInput } from './inputs.ts'
import { noPrevious, type Seal, sealedHeader, sealHash, sealLongest, sha256 } from './seal.ts'
import { type SealedInput, sealedRows } from './sealed-rows.ts'
import { sealTable } from './seals.ts'
import { RecordingTrouble } from './trouble.ts'
import { type FaultList, type FaultPlace, Faults, type OrderFaultKind, type SealFaultKind } from './verify-faults.ts'

export interface Verification {
  readonly seals: FaultList<SealFaultKind> & { readonly count: number; readonly head: string | null }
  readonly order: FaultList<OrderFaultKind>
  /** SQLite's own integrity check of the file; it does not notice changed values, the seals do. */
  readonly file: { readonly ok: boolean; readonly faults: readonly string[] }
}

export interface VerifyOptions {
  /** A head that was noted earlier, in a report or elsewhere: a file that was cut at its end, or swapped, does not have it any more. */
  readonly expectedHead?: string
}

const sealsAtOnce = 500

/**
 * Checks that nothing in a recording was changed, removed, inserted or reordered since it was sealed, and says where.
 * Reads by pages as of its start, so that a recording may be written meanwhile. What was cut off at the end together with
 * its seals is only found with a known head. Throws a `RecordingTrouble` where the file is no recording or cannot be opened.
 */
export function verifySeals(path: string, options: VerifyOptions = {}): Verification {
  const db = openForReading(path)
  try {
    const walk = new SealWalk(db)
    try {
      walk.through(options.expectedHead)
    } catch (error) {
      const trouble = asDamage(error, path)
      if (!(trouble instanceof RecordingTrouble)) throw error
      walk.faults.add(
        'unreadable',
        { sequences: walk.readUpTo > 0 ? [walk.readUpTo + 1, walk.readUpTo + 1] : null },
        trouble.message,
      )
    }
    return {
      seals: { ...walk.faults.list(), count: walk.count, head: walk.head },
      order: walk.order.list(),
      file: integrity(db),
    }
  } finally {
    db.close()
  }
}

class SealWalk {
  readonly faults = new Faults<SealFaultKind>()
  readonly order = new Faults<OrderFaultKind>()
  count = 0
  head: string | null = null
  readonly #db: Connection
  readonly #rows: (first: number, last: number) => SealedInput[]
  /** The seal before, with the hash that it should have. */
  #before: Seal = { number: 0, firstSequence: 1, lastSequence: 0, previous: noPrevious, hash: noPrevious, madeMs: 0 }
  #newest: SealedInput | null = null
  #hasHead = false

  constructor(db: Connection) {
    this.#db = db
    this.#rows = sealedRows(db)
  }

  get readUpTo(): number {
    return this.#before.lastSequence
  }

  through(expectedHead: string | undefined): void {
    const seals = sealTable(this.#db)
    const [last, newest] = this.#db.transaction(() => [seals.newest(), newestInput(this.#db)] as const)()
    const headerText = this.#headerText()
    for (
      let page = seals.after(0, sealsAtOnce);
      page.length > 0;
      page = seals.after(page.at(-1)?.number ?? 0, sealsAtOnce)
    ) {
      // The seal after the page tells whether the page's last hash is the one that was chained on.
      const [after] = seals.after(page.at(-1)?.number ?? 0, 1)
      for (const [index, seal] of page.entries()) {
        if (seal.number > (last?.number ?? 0)) break
        this.#hasHead ||= seal.hash === expectedHead
        this.#check(seal, page[index + 1] ?? after ?? null, headerText)
      }
      if ((page.at(-1)?.number ?? 0) >= (last?.number ?? 0)) break
    }
    this.head = last?.hash ?? null
    if (!last) this.faults.add('seal-removed', {}, 'there is no seal at all')
    this.#checkRest(newest?.sequence ?? 0)
    if (expectedHead !== undefined && !this.#hasHead) {
      this.faults.add(
        'head-unknown',
        {},
        `no seal has the hash ${expectedHead}: the end was cut off, or this is another recording`,
      )
    }
  }

  #headerText(): string {
    try {
      const { header, settingsSha256 } = readHeader(this.#db)
      if (sha256(header.settings) !== settingsSha256)
        this.faults.add('settings-changed', {}, 'the settings do not have the SHA-256 that stands beside them')
      return sealedHeader(header)
    } catch (error) {
      if (!(error instanceof RecordingTrouble)) throw error
      this.faults.add('header-changed', {}, error.message)
      return ''
    }
  }

  #check(seal: Seal, after: Seal | null, headerText: string): void {
    this.count += 1
    const before = this.#before
    if (seal.number !== before.number + 1) {
      const gone = seal.number - before.number - 1
      this.faults.add(
        'seal-removed',
        { seal: before.number + 1, sequences: range(before.lastSequence + 1, seal.firstSequence - 1) },
        `${gone === 1 ? 'a seal is' : `${gone} seals are`} missing`,
      )
    }
    const length = seal.lastSequence - seal.firstSequence + 1
    if (length > sealLongest || length < 0) {
      this.faults.add(
        'seal-changed',
        { seal: seal.number },
        `a seal covers at most ${sealLongest} inputs, this one ${length}`,
      )
      this.#before = { ...seal, lastSequence: after ? after.firstSequence - 1 : before.lastSequence }
      return
    }
    this.#compare(seal, after, headerText)
  }

  #compare(seal: Seal, after: Seal | null, headerText: string): void {
    const before = this.#before
    const isNext = seal.number === before.number + 1
    // Where the neighbours disagree with the seal, what they say is tried: if that gives the hash, only the seal was changed.
    const due = {
      ...seal,
      firstSequence: isNext ? before.lastSequence + 1 : seal.firstSequence,
      previous: isNext ? before.hash : seal.previous,
    }
    const dueLast = after && after.number === seal.number + 1 ? after.firstSequence - 1 : seal.lastSequence
    const asSealed = this.#covered(seal)
    const hash = sealHash(seal, (seal.number === 1 ? headerText : '') + asSealed.text)
    const fitsBefore = seal.firstSequence === due.firstSequence && seal.previous === due.previous
    this.#checkOrder(asSealed.rows)
    this.#before = seal
    if (hash === seal.hash && fitsBefore) return
    const place = { seal: seal.number, ...placeOf(seal, asSealed.rows) }
    const mended = { ...due, lastSequence: Math.min(dueLast, due.firstSequence + sealLongest - 1) }
    if (hash === seal.hash) {
      this.faults.add('seal-changed', place, 'the seals before this one are not those that it was made on')
    } else if (after?.previous === hash) {
      this.#before = { ...seal, hash }
      this.faults.add('seal-changed', place, 'the hash of this seal was changed')
    } else if (seal.number === 1) {
      this.faults.add('header-changed', { seal: 1 }, 'the header, the settings or the first seal were changed')
    } else if (sealHash(mended, this.#covered(mended).text) === seal.hash) {
      this.#before = { ...mended, hash: seal.hash }
      this.faults.add('seal-changed', place, 'this seal was changed, what it covers was not')
    } else this.#tellRows(seal, asSealed.rows, place)
  }

  #covered(seal: Pick<Seal, 'firstSequence' | 'lastSequence'>): { rows: SealedInput[]; text: string } {
    const rows = this.#rows(seal.firstSequence, seal.lastSequence)
    return { rows, text: rows.map(({ text }) => text).join('') }
  }

  /** The hash does not fit: by missing or doubled numbers, or else by changed content. */
  #tellRows(seal: Seal, rows: readonly SealedInput[], place: Partial<FaultPlace>): void {
    const gaps = numberGaps(seal, rows)
    const twice = rows.filter((row, index) => row.sequence === rows[index - 1]?.sequence)
    for (const gap of gaps)
      this.faults.add(
        'removed',
        { seal: seal.number, sequences: gap.numbers, fromMs: gap.fromMs, toMs: gap.toMs },
        'removed',
      )
    for (const row of twice)
      this.faults.add(
        'inserted',
        { seal: seal.number, ...placeOf(null, [row]) },
        'a line and an event have the same number: one was inserted',
      )
    if (gaps.length + twice.length === 0)
      this.faults.add(
        'changed',
        place,
        rows.length > 1 ? 'changed or reordered among these, or the seal over them' : 'changed, or the seal over it',
      )
  }

  #checkOrder(rows: readonly SealedInput[]): void {
    for (const row of rows) {
      const before = this.#newest
      const due = (before?.sequence ?? 0) + 1
      if (row.sequence > due)
        this.order.add(
          'hole',
          { sequences: [due, row.sequence - 1], fromMs: before?.atMs ?? null, toMs: row.atMs },
          'numbers are missing',
        )
      if (before && row.sequence === before.sequence)
        this.order.add('twice', placeOf(null, [row]), 'a number stands twice')
      if (before && row.atMs < before.atMs && !row.isClockMark)
        this.order.add(
          'time-back',
          placeOf(null, [row]),
          `time goes back by ${before.atMs - row.atMs} ms without a change of clock or run`,
        )
      this.#newest = row
    }
  }

  /** What no seal covers: after the last, or before the first number there is. */
  #checkRest(newestSequence: number): void {
    const { lastSequence } = this.#before
    const stray = this.#rows(Number.MIN_SAFE_INTEGER, 0)
    if (stray.length > 0)
      this.faults.add('inserted', placeOf(null, stray), `${stray.length} inputs with impossible numbers were inserted`)
    if (newestSequence <= lastSequence) return
    // A page of them is enough to place them; the numbers tell of the rest.
    const rows = this.#rows(lastSequence + 1, Math.min(newestSequence, lastSequence + sealLongest))
    const count = newestSequence - lastSequence
    this.faults.add(
      'unsealed',
      { ...placeOf(null, rows), sequences: [lastSequence + 1, newestSequence] },
      `${count === 1 ? 'an input' : `up to ${count} inputs`} after the last seal`,
    )
  }
}

const range = (first: number, last: number): readonly [number, number] | null => (first <= last ? [first, last] : null)

function placeOf(seal: Seal | null, rows: readonly SealedInput[]): Omit<FaultPlace, 'seal'> {
  const [first, last] = [rows[0], rows.at(-1)]
  const streams = [...new Set(rows.flatMap(({ stream }) => stream ?? []))]
  const numbers = seal
    ? range(seal.firstSequence, seal.lastSequence)
    : first && last
      ? range(first.sequence, last.sequence)
      : null
  return { sequences: numbers, streams, fromMs: first?.atMs ?? null, toMs: last?.atMs ?? null }
}

function numberGaps(
  seal: Seal,
  rows: readonly SealedInput[],
): { numbers: readonly [number, number]; fromMs: number | null; toMs: number | null }[] {
  const edges = [null, ...rows, null]
  return edges.slice(1).flatMap((row, index) => {
    const before = edges[index] ?? null
    const numbers = range(
      (before?.sequence ?? seal.firstSequence - 1) + 1,
      (row?.sequence ?? seal.lastSequence + 1) - 1,
    )
    return numbers ? [{ numbers, fromMs: before?.atMs ?? null, toMs: row?.atMs ?? null }] : []
  })
}

function integrity(db: Connection): Verification['file'] {
  try {
    const found = (db.pragma('integrity_check(20)') as { integrity_check: string }[]).map((row) => row.integrity_check)
    return found[0] === 'ok' ? { ok: true, faults: [] } : { ok: false, faults: found }
  } catch (error) {
    return { ok: false, faults: [error instanceof Error ? error.message : String(error)] }
  }
}
