import { tables } from './0001-tables.ts'
import { uncertainty } from './0002-uncertainty.ts'
import { traceHours } from './0003-trace-hours.ts'
import { zeros } from './0004-zeros.ts'
import { deriving } from './0005-deriving.ts'

/** Step n leads from schema version n − 1 to n; each is one transaction. */
export const migrations: readonly string[] = [tables, uncertainty, traceHours, zeros, deriving]
