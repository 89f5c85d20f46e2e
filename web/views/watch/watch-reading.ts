/** What *Watch* opens beside its first picture; loaded right after it. */
import './flag-row.ts'
import './stretch-dialog.ts'
import './trend-table.ts'
