/** The mark before decimals as the reader's language writes it. */
export const decimalMark = (): '.' | ',' =>
  new Intl.NumberFormat().formatToParts(0.5).some(({ type, value }) => type === 'decimal' && value === ',') ? ',' : '.'

const byDecimals = new Map<number, Intl.NumberFormat>()

/** A number as the reader's language writes it, always with the same decimals, so that digits do not jump. */
export function numberText(value: number, decimals: number): string {
  let format = byDecimals.get(decimals)
  if (!format) {
    format = new Intl.NumberFormat(undefined, { minimumFractionDigits: decimals, maximumFractionDigits: decimals })
    byDecimals.set(decimals, format)
  }
  // −0 is what rounding leaves of small negative noise; a sign before zero would say something that is not there.
  return format.format(Number(value.toFixed(decimals)) + 0)
}

/** A limit as a permit writes it: no decimals where it has none. */
export const limitText = (value: number, decimals: number): string =>
  numberText(value, Number.isInteger(value) ? 0 : Math.max(1, decimals))

export const wholeText = (value: number): string => numberText(value, 0)
/** A share 0…1 in per cent; what is not quite whole never rounds up to 100. */
export const percentText = (share: number): string =>
  `${wholeText(share < 1 ? Math.min(99, Math.round(share * 100)) : 100)} %`

/** 4 812 800 → `4.8 MB`; decimal multiples, as disks are sold. */
export function bytesText(bytes: number): string {
  if (bytes < 1000) return `${wholeText(bytes)} B`
  const steps = ['kB', 'MB', 'GB', 'TB']
  const power = Math.min(steps.length, Math.floor(Math.log10(bytes) / 3))
  return `${numberText(bytes / 1000 ** power, 1)} ${steps[power - 1]}`
}
