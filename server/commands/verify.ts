import { verifyRecording } from '../station/verify-recording.ts'
import { exitStatus } from '../trouble.ts'
import { print, printJson } from './printing.ts'

/** `flueledger verify`: seals, order and recomputation, told apart. Status 1 where any fails. */
export function verify(path: string, { json, head }: { readonly json?: boolean; readonly head?: string }): number {
  const answer = verifyRecording(path, head)
  if (json) printJson(answer)
  else {
    const part = (name: string, ok: boolean, detail: string, faults: readonly string[]): void =>
      print([`${name}: ${ok ? 'sound' : 'FAULTY'}${detail}`, ...faults.map((fault) => `  ${fault}`)].join('\n'))
    part('seals', answer.seals.ok, `, ${answer.seals.count}, head ${answer.seals.head ?? 'none'}`, answer.seals.faults)
    part('order', answer.order.ok, '', answer.order.faults)
    part(
      'recomputation',
      answer.recomputation.ok,
      `, ${answer.recomputation.blocks} averages by engine ${answer.engine}`,
      answer.recomputation.faults,
    )
    for (const note of answer.recomputation.notes) print(`  ${note}`)
  }
  return answer.ok ? exitStatus.done : exitStatus.checkFailed
}
