import { alarmTransitionTable } from './alarm-transitions.ts'
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
  const put = (step: DerivedStep): void => {
    switch (step.table) {
      case 'block': return tables.block.upsert(step.row)
      case 'rolling': return tables.rolling.upsert(step.row)
      case 'alarm': return tables.alarm.insert(step.row)
      case 'phase-span': return tables.phaseSpan.put(step.row)
      case 'plant-span': return tables.plantSpan.put(step.row)
      case 'zero': return tables.zero.put(step.row)
      case 'notice': return tables.notice.insert(step.row)
      case 'trace': return tables.trace.put(step.row)
      case 'all-anew': return Object.values(tables).forEach((table) => { table.clear() })
    }
  }
  return { ...tables, put }
}
