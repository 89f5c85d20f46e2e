/** What is wrong with the seals. `changed` covers the seal itself where the two cannot be told apart. */
export type SealFaultKind =
  | 'settings-changed'
  | 'header-changed'
  | 'changed'
  | 'removed'
  | 'inserted'
  | 'unsealed'
  | 'seal-changed'
  | 'seal-removed'
  | 'head-unknown'
  | 'unreadable'
export type OrderFaultKind = 'hole' | 'twice' | 'time-back'

/** Where: numbers and times of the inputs concerned, both included; for what is gone, the times of its neighbours. */
export interface FaultPlace {
  readonly seal: number | null
  readonly sequences: readonly [first: number, last: number] | null
  readonly streams: readonly string[]
  readonly fromMs: number | null
  readonly toMs: number | null
}
export interface Fault<Kind extends string> extends FaultPlace {
  readonly kind: Kind
  /** One line for a person, the place included. */
  readonly text: string
}

export interface FaultList<Kind extends string> {
  readonly ok: boolean
  /** How many were found; `faults` holds the first of them. */
  readonly found: number
  readonly faults: readonly Fault<Kind>[]
}

export const nowhere: FaultPlace = { seal: null, sequences: null, streams: [], fromMs: null, toMs: null }
const listedMost = 100

export class Faults<Kind extends string> {
  readonly #listed: Fault<Kind>[] = []
  #found = 0

  add(kind: Kind, place: Partial<FaultPlace>, what: string): void {
    this.#found += 1
    if (this.#listed.length === listedMost) return
    const whole = { ...nowhere, ...place }
    const where = placeText(whole)
    this.#listed.push({ kind, ...whole, text: where ? `${what}: ${where}` : what })
  }

  list(): FaultList<Kind> {
    return { ok: this.#found === 0, found: this.#found, faults: this.#listed }
  }
}

function placeText({ seal, sequences, streams, fromMs, toMs }: FaultPlace): string {
  const parts: string[] = []
  if (sequences)
    parts.push(sequences[0] === sequences[1] ? `number ${sequences[0]}` : `numbers ${sequences[0]} to ${sequences[1]}`)
  if (streams.length > 0) parts.push(`stream ${streams.join(', ')}`)
  if (fromMs !== null) parts.push(isoText(fromMs) + (toMs !== null && toMs !== fromMs ? ` to ${isoText(toMs)}` : ''))
  if (seal !== null) parts.push(`seal ${seal}`)
  return parts.join(', ')
}

/** A changed time can be beyond what a calendar holds. */
const isoText = (ms: number): string => (Math.abs(ms) <= 8.64e15 ? new Date(ms).toISOString() : `${ms} ms`)
