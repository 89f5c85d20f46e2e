/** Instants as an instrument writes them. Format letters as in the line profile: yyyy MM dd HH mm ss SSS, d M H, 'quoted'. */
export type TimeText = (ms: number) => string

const pad = (value: number, width: number): string => String(value).padStart(width, '0')

const letters: Readonly<Record<string, (of: Date) => string>> = {
  yyyy: (of) => pad(of.getUTCFullYear(), 4),
  yy: (of) => pad(of.getUTCFullYear() % 100, 2),
  MM: (of) => pad(of.getUTCMonth() + 1, 2),
  M: (of) => String(of.getUTCMonth() + 1),
  dd: (of) => pad(of.getUTCDate(), 2),
  d: (of) => String(of.getUTCDate()),
  HH: (of) => pad(of.getUTCHours(), 2),
  H: (of) => String(of.getUTCHours()),
  mm: (of) => pad(of.getUTCMinutes(), 2),
  m: (of) => String(of.getUTCMinutes()),
  ss: (of) => pad(of.getUTCSeconds(), 2),
  s: (of) => String(of.getUTCSeconds()),
  SSS: (of) => pad(of.getUTCMilliseconds(), 3),
}

/** Offset of a zone at an instant, ms; asked once per quarter of an hour, since zones change on such borders only. */
function zoneOffset(zone: string): (ms: number) => number {
  if (zone === 'UTC') return () => 0
  const fixed = /^([+-])(\d{2}):?(\d{2})$/.exec(zone)
  if (fixed) {
    const offset = (fixed[1] === '-' ? -1 : 1) * (Number(fixed[2]) * 60 + Number(fixed[3])) * 60_000
    return () => offset
  }
  const clock = new Intl.DateTimeFormat('en-US', {
    timeZone: zone,
    hourCycle: 'h23',
    year: 'numeric',
    month: 'numeric',
    day: 'numeric',
    hour: 'numeric',
    minute: 'numeric',
    second: 'numeric',
  })
  let quarter = Number.NaN
  let offset = 0
  return (ms) => {
    const asked = Math.floor(ms / 900_000)
    if (asked !== quarter) {
      quarter = asked
      const part = Object.fromEntries(
        clock.formatToParts(asked * 900_000).map(({ type, value }) => [type, Number(value)]),
      )
      offset =
        Date.UTC(part.year ?? 0, (part.month ?? 1) - 1, part.day, part.hour, part.minute, part.second) - asked * 900_000
    }
    return offset
  }
}

function isoText(offsetOf: (ms: number) => number): TimeText {
  let second = Number.NaN
  let head = ''
  let tail = 'Z'
  return (ms) => {
    const whole = Math.floor(ms / 1000)
    if (whole !== second) {
      second = whole
      const offset = offsetOf(ms)
      head = new Date(whole * 1000 + offset).toISOString().slice(0, 19)
      const minutes = Math.abs(offset) / 60_000
      tail = offset === 0 ? 'Z' : `${offset < 0 ? '-' : '+'}${pad(Math.floor(minutes / 60), 2)}:${pad(minutes % 60, 2)}`
    }
    const rest = Math.round(ms - whole * 1000)
    return rest === 0 ? head + tail : `${head}.${pad(rest, 3)}${tail}`
  }
}

/**
 * format: `iso`, `epoch-s`, `epoch-ms` or letters. zone: `UTC`, an offset as `+01:00`, or a named zone.
 * Throws a RangeError for a zone that does not exist.
 */
export function timeText(format: string, zone: string): TimeText {
  const offsetOf = zoneOffset(zone)
  if (format === 'iso') return isoText(offsetOf)
  if (format === 'epoch-ms') return (ms) => String(Math.round(ms))
  if (format === 'epoch-s')
    return (ms) => (Math.round(ms) % 1000 === 0 ? String(Math.round(ms) / 1000) : (Math.round(ms) / 1000).toFixed(3))
  const parts = format.match(/'[^']*'|([a-zA-Z])\1*|[^a-zA-Z']+/g) ?? []
  const writers = parts.map((part) => {
    const text = part.startsWith("'") ? part.slice(1, -1) : part
    return letters[part] ?? (() => text)
  })
  return (ms) => {
    const at = new Date(ms + offsetOf(ms))
    let out = ''
    for (const write of writers) out += write(at)
    return out
  }
}
