/** As many digits as a pocket calculator shows. */
const digits = 10

/** A number as printed here: at most ten significant digits, no exponent where it can be helped. */
export function shown(value: number | null): string {
  if (value === null) return 'none'
  const rounded = Number(value.toPrecision(digits))
  return Object.is(rounded, -0) ? '0' : String(rounded)
}

/** An instant, UTC. */
export const time = (ms: number): string => new Date(ms).toISOString()
export const timeOfDay = (ms: number): string => time(ms).slice(11, ms % 1000 === 0 ? 19 : 23)
export const seconds = (ms: number): string => String(ms / 1000)

/** An instant to the microsecond: the middle of readings lies between their times. */
export const exactTime = (ms: number): string => {
  const whole = Math.floor(ms)
  const micros = Math.round((ms - whole) * 1000)
  return micros === 0 || micros === 1000
    ? time(Math.round(ms))
    : time(whole).replace('Z', `${String(micros).padStart(3, '0')}Z`)
}
