import { valueQuantities } from '../../protocols/words/quantities.ts'
import { explainRecording } from '../station/explain/explain-recording.ts'
import { explainText } from '../station/explain/explain-text.ts'
import type { AverageQuestion } from '../station/explain/find-average.ts'
import { exitStatus, Trouble } from '../trouble.ts'
import { instantOf } from './instant.ts'
import { print, printJson, say } from './printing.ts'

export interface ExplainOptions {
  readonly block: string
  readonly channel: string
  readonly average?: string
  readonly quantity?: string
  readonly unit?: string
  readonly rolling?: boolean
  readonly readings?: boolean
  readonly json?: boolean
}

/** `flueledger explain`: an average down to its raw lines. Status 1 where it is stored otherwise than the lines give it. */
export function explain(path: string, options: ExplainOptions): number {
  const answer = explainRecording(path, questionOf(options))
  if (options.json) printJson(answer)
  else print(explainText(answer, { readings: options.readings ?? false }))
  if (answer.agrees) return exitStatus.done
  say(answer.difference ?? '')
  return exitStatus.checkFailed
}

function questionOf({ block, channel, average, quantity, unit, rolling }: ExplainOptions): AverageQuestion {
  const startMs = instantOf('--block', block)
  const named = valueQuantities.find((name) => name === quantity)
  if (quantity !== undefined && named === undefined)
    throw new Trouble(`--quantity ${quantity}: is none; allowed are ${valueQuantities.join(', ')}`)
  return {
    startMs,
    channel,
    ...(average === undefined ? {} : { average }),
    ...(named === undefined ? {} : { quantity: named }),
    ...(unit === undefined ? {} : { unit }),
    ...(rolling ? { kind: 'rolling' as const } : {}),
  }
}
