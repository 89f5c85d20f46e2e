import { alarmTransitionTable } from './alarm-transitions.ts'
import { averageHistoryTable } from './average-history.ts'
import { averageTable } from './averages.ts'
import type { Connection } from './database.ts'
import { noticeTable } from './notices.ts'
import type { Derived } from './recording.ts'
import { phaseSpanTable, plantSpanTable } from './spans.ts'
import { traceTable } from './trace.ts'
import { zeroTable } from './zeros.ts'

/** `all-anew`: everything derived so far goes; the inputs are being replayed and derive it again. */
export type DerivedStep = Derived | { readonly table: 'all-anew' }

/** What the engine derived, over all its tables. */
export function derivedTables(db: Connection) {
  const tables = {
    block: averageTable(db, 'block'),
    rolling: averageTable(db, 'rolling'),
    alarm: alarmTransitionTable(db),
    phaseSpan: phaseSpanTable(db),
    plantSpan: plantSpanTable(db),
    zero: zeroTable(db),
    notice: noticeTable(db),
    trace: traceTable(db),
  }
  const history = averageHistoryTable(db)
  const put = (step: DerivedStep): void => {
    switch (step.table) {
      case 'block':
        tables.block.upsert(step.row)
        break
      case 'rolling':
        tables.rolling.upsert(step.row)
        break
      case 'alarm':
        tables.alarm.insert(step.row)
        break
      case 'phase-span':
        tables.phaseSpan.put(step.row)
        break
      case 'plant-span':
        tables.plantSpan.put(step.row)
        break
      case 'zero':
        tables.zero.put(step.row)
        break
      case 'notice':
        tables.notice.insert(step.row)
        break
      case 'trace':
        tables.trace.put(step.row)
        break
      case 'history':
        history.insert(step.row)
        break
      // What averages were before is no longer to be derived from the inputs alone: it stays.
      case 'all-anew':
        for (const table of Object.values(tables)) table.clear()
        break
    }
  }
  return { ...tables, history, put }
}
