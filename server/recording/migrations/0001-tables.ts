/** Milliseconds since 1970 UTC as ISO 8601 text; whole milliseconds, never rounded by way of a fraction. */
const iso = (column: string): string =>
  `strftime('%Y-%m-%dT%H:%M:%S', ${column} / 1000, 'unixepoch') || printf('.%03dZ', ${column} % 1000)`

const averageColumns = `
  stream TEXT NOT NULL,
  channel TEXT NOT NULL,
  species TEXT,
  quantity TEXT NOT NULL,
  unit TEXT NOT NULL,
  basis TEXT,
  reference_oxygen REAL,
  conditions TEXT,
  average TEXT NOT NULL,
  start_ms INTEGER NOT NULL,
  end_ms INTEGER NOT NULL,
  mean REAL,
  minimum REAL,
  maximum REAL,
  standard_deviation REAL,
  count INTEGER NOT NULL,
  counted_ms REAL NOT NULL,
  coverage REAL,
  valid INTEGER NOT NULL CHECK (valid IN (0, 1)),
  reasons TEXT NOT NULL,
  state TEXT NOT NULL,
  PRIMARY KEY (start_ms, average, channel, quantity, unit)`

const readableAverage = `stream, channel, species, quantity, unit, basis, reference_oxygen, conditions, average,
  ${iso('start_ms')} AS start, ${iso('end_ms')} AS "end", mean, minimum, maximum, standard_deviation, count,
  counted_ms / 1000.0 AS counted_seconds, coverage, iif(valid, 'valid', 'invalid') AS validity, reasons, state`

/** The tables of schema version 1. Never edited once released; docs/recording-format.md describes each column. */
export const tables = `
CREATE TABLE header (
  only INTEGER PRIMARY KEY CHECK (only = 1),
  run_name TEXT NOT NULL,
  station TEXT NOT NULL,
  made_ms INTEGER NOT NULL,
  engine_version TEXT NOT NULL,
  standby INTEGER NOT NULL CHECK (standby IN (0, 1)),
  invented INTEGER NOT NULL CHECK (invented IN (0, 1)),
  origin TEXT NOT NULL CHECK (origin IN ('live', 'imported')),
  run_number INTEGER NOT NULL,
  run_count INTEGER NOT NULL
) STRICT;
CREATE TABLE settings (
  only INTEGER PRIMARY KEY CHECK (only = 1),
  json TEXT NOT NULL,
  sha256 TEXT NOT NULL
) STRICT;
CREATE TABLE writer (
  only INTEGER PRIMARY KEY CHECK (only = 1),
  token TEXT NOT NULL,
  derived INTEGER NOT NULL,
  closed INTEGER NOT NULL CHECK (closed IN (0, 1))
) STRICT;

CREATE TABLE line (
  sequence INTEGER PRIMARY KEY,
  stream TEXT NOT NULL,
  at_ms INTEGER NOT NULL,
  monotonic_ms INTEGER NOT NULL,
  piece TEXT NOT NULL,
  bytes BLOB NOT NULL
) STRICT;
CREATE TABLE event (
  sequence INTEGER PRIMARY KEY,
  at_ms INTEGER NOT NULL,
  monotonic_ms INTEGER NOT NULL,
  kind TEXT NOT NULL,
  body TEXT NOT NULL
) STRICT;
CREATE TABLE seal (
  number INTEGER PRIMARY KEY,
  first_sequence INTEGER NOT NULL,
  last_sequence INTEGER NOT NULL,
  previous TEXT NOT NULL,
  hash TEXT NOT NULL,
  made_ms INTEGER NOT NULL
) STRICT;

CREATE TABLE block (${averageColumns}
) STRICT, WITHOUT ROWID;
CREATE TABLE rolling (${averageColumns}
) STRICT, WITHOUT ROWID;
CREATE TABLE alarm_transition (
  number INTEGER PRIMARY KEY,
  alarm TEXT NOT NULL,
  class TEXT NOT NULL,
  cause TEXT NOT NULL,
  stream TEXT,
  channel TEXT,
  priority TEXT NOT NULL,
  at_ms INTEGER NOT NULL,
  from_state TEXT NOT NULL,
  to_state TEXT NOT NULL,
  input TEXT NOT NULL,
  active INTEGER NOT NULL CHECK (active IN (0, 1)),
  value REAL,
  limit_value REAL,
  unit TEXT,
  by TEXT,
  note TEXT,
  until_ms INTEGER
) STRICT;
CREATE TABLE phase_span (
  stream TEXT NOT NULL,
  start_ms INTEGER NOT NULL,
  end_ms INTEGER,
  phase TEXT NOT NULL,
  cause TEXT NOT NULL,
  inferred INTEGER NOT NULL CHECK (inferred IN (0, 1)),
  readings INTEGER NOT NULL,
  PRIMARY KEY (stream, start_ms)
) STRICT, WITHOUT ROWID;
CREATE TABLE plant_span (
  start_ms INTEGER PRIMARY KEY,
  end_ms INTEGER,
  state TEXT NOT NULL,
  cause TEXT NOT NULL
) STRICT;
CREATE TABLE zero (
  channel TEXT NOT NULL,
  at_ms INTEGER NOT NULL,
  mean REAL NOT NULL,
  standard_deviation REAL,
  count INTEGER NOT NULL,
  used INTEGER NOT NULL CHECK (used IN (0, 1)),
  PRIMARY KEY (channel, at_ms)
) STRICT, WITHOUT ROWID;
CREATE TABLE notice (
  number INTEGER PRIMARY KEY,
  code TEXT NOT NULL,
  stream TEXT,
  channel TEXT,
  at_ms INTEGER NOT NULL,
  text TEXT NOT NULL
) STRICT;
CREATE TABLE trace_minute (
  stream TEXT NOT NULL,
  minute_ms INTEGER NOT NULL,
  readings INTEGER NOT NULL,
  offsets_ms BLOB NOT NULL,
  PRIMARY KEY (stream, minute_ms)
) STRICT;
CREATE TABLE trace_channel (
  stream TEXT NOT NULL,
  minute_ms INTEGER NOT NULL,
  place INTEGER NOT NULL,
  channel TEXT NOT NULL,
  as_read BLOB NOT NULL,
  corrected BLOB NOT NULL,
  referred BLOB NOT NULL,
  PRIMARY KEY (stream, minute_ms, place)
) STRICT;

CREATE VIEW readable_header AS SELECT run_name, station, ${iso('made_ms')} AS made, engine_version,
  iif(standby, 'yes', 'no') AS standby, iif(invented, 'yes', 'no') AS invented, origin, run_number, run_count FROM header;
CREATE VIEW readable_line AS SELECT sequence, stream, ${iso('at_ms')} AS at, monotonic_ms / 1000.0 AS monotonic_seconds, piece,
  rtrim(CAST(bytes AS TEXT), char(13, 10)) AS text FROM line;
CREATE VIEW readable_event AS SELECT sequence, ${iso('at_ms')} AS at, monotonic_ms / 1000.0 AS monotonic_seconds, kind, body FROM event;
CREATE VIEW readable_seal AS SELECT number, first_sequence, last_sequence, hash, ${iso('made_ms')} AS made FROM seal;
CREATE VIEW readable_block AS SELECT ${readableAverage} FROM block;
CREATE VIEW readable_rolling AS SELECT ${readableAverage} FROM rolling;
CREATE VIEW readable_alarm_transition AS SELECT number, ${iso('at_ms')} AS at, alarm, class, priority, from_state, to_state, input,
  iif(active, 'yes', 'no') AS active, value, limit_value, unit, by, note, ${iso('until_ms')} AS until FROM alarm_transition;
CREATE VIEW readable_phase_span AS SELECT stream, phase, ${iso('start_ms')} AS start, ${iso('end_ms')} AS "end", cause,
  iif(inferred, 'recognised', 'told') AS origin, readings FROM phase_span;
CREATE VIEW readable_plant_span AS SELECT state, ${iso('start_ms')} AS start, ${iso('end_ms')} AS "end", cause FROM plant_span;
CREATE VIEW readable_zero AS SELECT channel, ${iso('at_ms')} AS at, mean, standard_deviation, count, iif(used, 'yes', 'no') AS used FROM zero;
CREATE VIEW readable_notice AS SELECT number, ${iso('at_ms')} AS at, code, stream, channel, text FROM notice;
`
