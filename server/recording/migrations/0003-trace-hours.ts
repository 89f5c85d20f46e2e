/**
 * What charts of weeks are drawn from: the extremes of each hour, made of its minutes. Never edited once released;
 * docs/recording-format.md describes each column.
 */
export const traceHours = `
CREATE TABLE trace_hour (
  stream TEXT NOT NULL,
  channel TEXT NOT NULL,
  hour_ms INTEGER NOT NULL,
  as_read BLOB NOT NULL,
  corrected BLOB NOT NULL,
  referred BLOB NOT NULL,
  PRIMARY KEY (stream, channel, hour_ms)
) STRICT, WITHOUT ROWID;
`
