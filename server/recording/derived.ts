import { alarmTransitionTable } from './alarm-transitions.ts'
import { averageHistoryTable } from './average-history.ts'
import { averageTable } from './averages.ts'
import type { Connection } from './database.ts'
import { noticeTable } from './notices.ts'
import type { Derived } from './recording.ts'
import { phaseSpanTable, plantSpanTable } from './spans.ts'
import { traceTable } from './trace.ts'
import { traceHourTable } from './trace-hours.ts'
import { writerTable } from './writer-row.ts'
import { zeroTable } from './zeros.ts'

/**
 * `all-anew`: everything derived so far goes; the inputs are being replayed and derive it again. `in-part`: rows were not
 * taken. `whole-again`: nothing is missing any more.
 */
export type DerivedStep = Derived | { readonly table: 'all-anew' | 'in-part' | 'whole-again' }

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
    traceHour: traceHourTable(db),
  }
  const history = averageHistoryTable(db)
  const writer = writerTable(db)
  const put = (step: DerivedStep): void => {
    switch (step.table) {
      case 'block':
        if (step.revision) history.keep('block', tables.block.same(step.row), step.row, step.revision)
        tables.block.upsert(step.row)
        break
      case 'rolling':
        if (step.revision) history.keep('rolling', tables.rolling.same(step.row), step.row, step.revision)
        tables.rolling.upsert(step.row)
        break
      case 'gone':
        tables[step.kind].remove(step.row)
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
      case 'trace-hour':
        tables.traceHour.put(step.row)
        break
      case 'history':
        history.insert(step.row)
        break
      // What persons changed is no longer to be derived from the inputs alone: it stays.
      case 'all-anew':
        for (const table of Object.values(tables)) table.clear()
        history.clear()
        writer.setDeriving(true)
        break
      case 'in-part':
        writer.setDeriving(true)
        break
      case 'whole-again':
        writer.setDeriving(false)
        break
    }
  }
  return { ...tables, history, put }
}
