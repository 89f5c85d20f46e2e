/**
 * Schema version 5: whether what is derived is being derived anew, so that what is missing then is not taken for a change.
 * Never edited once released; docs/recording-format.md describes each column.
 */
export const deriving = `
ALTER TABLE writer ADD COLUMN deriving INTEGER NOT NULL DEFAULT 0 CHECK (deriving IN (0, 1));
`
