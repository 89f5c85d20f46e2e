const added = (table: string): string => `
ALTER TABLE ${table} ADD COLUMN detection TEXT;
ALTER TABLE ${table} ADD COLUMN uncertainty REAL;
ALTER TABLE ${table} ADD COLUMN verdicts TEXT NOT NULL DEFAULT '[]';`

/**
 * Schema version 2: detection, uncertainty and verdicts of averages, and what averages were before they changed.
 * Never edited once released; docs/recording-format.md describes each column.
 */
export const uncertainty = `
${added('block')}
${added('rolling')}
CREATE TABLE average_history (
  number INTEGER PRIMARY KEY,
  kind TEXT NOT NULL CHECK (kind IN ('block', 'rolling')),
  replaced_ms INTEGER NOT NULL,
  by TEXT,
  reason TEXT NOT NULL,
  old TEXT NOT NULL,
  new TEXT
) STRICT;
`
