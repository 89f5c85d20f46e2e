import type { VerifyAnswer } from '../../protocols/live/requests.ts'
import type { AlarmTransition } from '../../protocols/words/alarms.ts'
import { type AverageRow, averageKey } from '../../protocols/words/blocks.ts'
import { engineVersion } from '../engine/state.ts'
import { openRecording } from '../recording/recording-reader.ts'
import { verifySeals } from '../recording/verify.ts'
import { drive } from './drive-engine.ts'
import { stationFromSettings } from './recorded-settings.ts'

/** So many faults of a kind are told one by one. */
const mostFaults = 20

const rowText = (row: AverageRow): string => JSON.stringify(row)

/** Seals and order of a recording, and that its lines give the stored averages and alarms again, byte for byte. */
export function verifyRecording(path: string, expectedHead?: string): VerifyAnswer {
  const sealed = verifySeals(path, expectedHead === undefined ? {} : { expectedHead })
  const recomputation = recompute(path)
  const texts = (faults: readonly { readonly text: string }[]): string[] => faults.map(({ text }) => text)
  return {
    ok: sealed.seals.ok && sealed.order.ok && sealed.file.ok && recomputation.ok,
    engine: engineVersion,
    seals: {
      ok: sealed.seals.ok && sealed.file.ok,
      count: sealed.seals.count,
      head: sealed.seals.head,
      faults: [...texts(sealed.seals.faults), ...sealed.file.faults],
    },
    order: { ok: sealed.order.ok, faults: texts(sealed.order.faults) },
    recomputation,
  }
}

function recompute(path: string): VerifyAnswer['recomputation'] {
  const faults: string[] = []
  const tell = (text: string): void => {
    if (faults.length < mostFaults) faults.push(text)
  }
  let blocks = 0
  try {
    const reader = openRecording(path)
    try {
      const stored = new Map(
        [
          ...reader.blocks().map((row) => ['block', row] as const),
          ...reader.rolling().map((row) => ['rolling', row] as const),
        ].map(([kind, row]) => [`${kind}/${averageKey(row)}`, rowText(row)]),
      )
      const alarms = reader.alarms()
      /** Told as provisional and otherwise than stored: to be told again. */
      const provisional = new Map<string, string>()
      const recomputedAlarms: AlarmTransition[] = []
      drive(
        stationFromSettings(reader.header.settings),
        reader.inputs(),
        (outputs) => {
          for (const output of outputs) {
            if (output.kind === 'alarm') recomputedAlarms.push(output.transition)
            if (output.kind !== 'block' && output.kind !== 'rolling') continue
            const key = `${output.kind}/${averageKey(output.row)}`
            const was = stored.get(key)
            if (output.row.state === 'provisional' && was !== rowText(output.row)) {
              provisional.set(key, rowText(output.row))
              continue
            }
            blocks++
            provisional.delete(key)
            if (was === undefined) tell(`${key}: recomputed, but not stored`)
            else if (was !== rowText(output.row)) tell(`${key}: stored otherwise than recomputed`)
            stored.delete(key)
          }
        },
        { unendedCounts: reader.header.origin === 'imported' },
      )
      for (const key of provisional.keys()) tell(`${key}: stored otherwise than recomputed`)
      for (const key of stored.keys()) tell(`${key}: stored, but the lines do not give it`)
      const length = Math.max(alarms.length, recomputedAlarms.length)
      for (let index = 0; index < length; index++) {
        if (JSON.stringify(alarms[index]) !== JSON.stringify(recomputedAlarms[index])) {
          tell(
            `alarm transition ${index + 1}: ${alarms[index]?.alarm ?? 'none'} stored, ${recomputedAlarms[index]?.alarm ?? 'none'} recomputed`,
          )
          break
        }
      }
    } finally {
      reader.close()
    }
  } catch (error) {
    tell(`could not be recomputed: ${error instanceof Error ? error.message : error}`)
  }
  return { ok: faults.length === 0, blocks, faults }
}
