import * as lengthTexts from '../texts/lengths.ts'

/** The station's zone: all times on the screens are in it, whatever the browser's zone. */
export interface Zone {
  readonly zone: string
  /** Standard time all year: `offsetMinutes` holds at every instant. */
  readonly standardTime: boolean
  readonly offsetMinutes: number
}

const formats = new Map<string, Intl.DateTimeFormat>()
function formatIn(timeZone: string, options: Intl.DateTimeFormatOptions): Intl.DateTimeFormat {
  const key = `${timeZone}/${JSON.stringify(options)}`
  let format = formats.get(key)
  if (!format) {
    format = new Intl.DateTimeFormat(undefined, { ...options, timeZone, hourCycle: 'h23' })
    formats.set(key, format)
  }
  return format
}
const written = (ms: number, zone: Zone, options: Intl.DateTimeFormatOptions) =>
  zone.standardTime
    ? formatIn('UTC', options).format(ms + zone.offsetMinutes * 60_000)
    : formatIn(zone.zone, options).format(ms)

/** Minutes that the station's time is ahead of UTC at an instant. */
export function offsetMinutesAt(ms: number, zone: Zone): number {
  if (zone.standardTime) return zone.offsetMinutes
  const name =
    formatIn(zone.zone, { timeZoneName: 'longOffset', hour: '2-digit' })
      .formatToParts(ms)
      .find((part) => part.type === 'timeZoneName')?.value ?? ''
  const found = /([+-])(\d{2}):(\d{2})/.exec(name)
  return found ? (found[1] === '-' ? -1 : 1) * (Number(found[2]) * 60 + Number(found[3])) : 0
}

/** `+01:00`; `+00:00` for UTC. */
export function offsetText(ms: number, zone: Zone): string {
  const minutes = offsetMinutesAt(ms, zone)
  const two = (value: number) => String(value).padStart(2, '0')
  return `${minutes < 0 ? '−' : '+'}${two(Math.floor(Math.abs(minutes) / 60))}:${two(Math.abs(minutes) % 60)}`
}

/** `04:17`, without offset: only beside a text that has it. */
export const hourMinuteText = (ms: number, zone: Zone): string =>
  written(ms, zone, { hour: '2-digit', minute: '2-digit' })
export const hourMinuteSecondText = (ms: number, zone: Zone): string =>
  written(ms, zone, { hour: '2-digit', minute: '2-digit', second: '2-digit' })
/** `25 Nov`. */
export const dayText = (ms: number, zone: Zone): string => written(ms, zone, { day: 'numeric', month: 'short' })
/** `04:17:40 +01:00`. */
export const timeText = (ms: number, zone: Zone): string => `${hourMinuteSecondText(ms, zone)} ${offsetText(ms, zone)}`
/** `25 Nov 04:17:40 +01:00`. */
export const dayTimeText = (ms: number, zone: Zone): string => `${dayText(ms, zone)} ${timeText(ms, zone)}`

/** `2026-11-25T04:17:40+01:00`, as exports write it; a spreadsheet reads it as a time or leaves it as text, never wrongly. */
export const isoText = (ms: number, zone: Zone): string =>
  new Date(ms + offsetMinutesAt(ms, zone) * minute).toISOString().slice(0, 19) + offsetText(ms, zone).replace('−', '-')

/** `04:00–04:30 +01:00`; where the offset changes in between, each end has its own. */
export function spanText(startMs: number, endMs: number, zone: Zone): string {
  const [before, after] = [offsetText(startMs, zone), offsetText(endMs, zone)]
  const start = `${hourMinuteText(startMs, zone)}${before === after ? '' : ` ${before}`}`
  return `${start}–${hourMinuteText(endMs, zone)} ${after}`
}

/** The time by which the station names an average: `04:00–04:30 +01:00`, or one of its ends alone. */
export function labelText(startMs: number, endMs: number, zone: Zone, label: 'start' | 'end' | 'both'): string {
  if (label === 'both') return spanText(startMs, endMs, zone)
  const ms = label === 'start' ? startMs : endMs
  return (label === 'start' ? lengthTexts.from : lengthTexts.to)(`${hourMinuteText(ms, zone)} ${offsetText(ms, zone)}`)
}

const minute = 60_000
const axisSteps = [1, 2, 5, 10, 15, 30, 60, 120, 180, 360, 720, 1440, 2880, 7200].map((minutes) => minutes * minute)

/** Instants for a time axis: whole steps of the station's own clock, at most `most` of them. */
export function axisInstants(fromMs: number, toMs: number, most: number, zone: Zone): number[] {
  const fine = [5000, 10_000, 15_000, 30_000]
  const step =
    [...fine, ...axisSteps].find((length) => (toMs - fromMs) / length <= Math.max(1, most)) ?? 14_400 * minute
  const shift = offsetMinutesAt(fromMs, zone) * minute
  const instants: number[] = []
  for (let at = Math.ceil((fromMs + shift) / step) * step - shift; at <= toMs; at += step) instants.push(at)
  return instants
}
/** The text under an instant of an axis: the day at midnight, seconds only where they matter. */
export function axisText(ms: number, stepMs: number, zone: Zone): string {
  const text = stepMs < minute ? hourMinuteSecondText(ms, zone) : hourMinuteText(ms, zone)
  return text === '00:00' ? dayText(ms, zone) : text
}

/** What a field for date and time holds (`2026-11-25T06:30`, in the station's zone) as ISO 8601 with offset; null when it is not a time. */
export function instantOfField(text: string, zone: Zone): string | null {
  const asUtc = Date.parse(`${text}Z`)
  if (!/^\d{4}-\d\d-\d\dT\d\d:\d\d/.test(text) || Number.isNaN(asUtc)) return null
  const guess = asUtc - offsetMinutesAt(asUtc, zone) * minute
  const offset = offsetText(asUtc - offsetMinutesAt(guess, zone) * minute, zone).replace('−', '-')
  return `${text.slice(0, 16)}:00${offset}`
}
/** The other way round: an instant as such a field takes it. */
export const fieldOfInstant = (ms: number, zone: Zone): string =>
  new Date(ms + offsetMinutesAt(ms, zone) * minute).toISOString().slice(0, 16)
