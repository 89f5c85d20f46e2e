import { isSignOfTrouble, type RefusalReason } from '../../protocols/instrument/reader.ts'
import type { StreamHealth } from './alarms/stream-health.ts'
import type { EngineContext } from './context.ts'
import type { LineEvent } from './events.ts'
import type { Refused } from './line-admission.ts'

/** Lines of a stream that take no part: each is counted, told to the stream's health, and put out with its reason. */
export class RefusedLines {
  readonly byReason = new Map<RefusalReason, number>()
  /** Those of them that are a sign of trouble. */
  readonly unreadable = new Map<RefusalReason, number>()
  private readonly context: EngineContext
  private readonly stream: string
  private readonly health: StreamHealth

  constructor(context: EngineContext, stream: string, health: StreamHealth) {
    this.context = context
    this.stream = stream
    this.health = health
  }

  take({ atMs, sequence, piece }: LineEvent, { reason, detail }: Refused): void {
    count(this.byReason, reason)
    if (isSignOfTrouble(reason, piece)) count(this.unreadable, reason)
    this.health.refused(reason, piece, atMs)
    this.context.outputs.push({ kind: 'refused', stream: this.stream, atMs, sequence, reason, detail })
  }
}

const count = (counts: Map<RefusalReason, number>, reason: RefusalReason): void =>
  void counts.set(reason, (counts.get(reason) ?? 0) + 1)
