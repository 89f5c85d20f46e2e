/**
 * Schema version 4: what was subtracted before a zero, whether its purge was clean, and where it stands in time.
 * Never edited once released; docs/recording-format.md describes each column.
 */
export const zeros = `
ALTER TABLE zero ADD COLUMN in_use REAL;
ALTER TABLE zero ADD COLUMN clean INTEGER NOT NULL DEFAULT 1 CHECK (clean IN (0, 1));
ALTER TABLE zero ADD COLUMN middle_ms REAL;
`
