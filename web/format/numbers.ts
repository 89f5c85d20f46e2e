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

/** Decimals that leave two significant digits of `value`, which is above 0; negative: so many zeros before the point. */
function placeOfTwoDigits(value: number): number {
  const place = 1 - Math.floor(Math.log10(value))
  // 0.0996 has two digits as 0.10: rounding may carry into the next place.
  return Number(value.toPrecision(2)) >= 10 ** (2 - place) ? place - 1 : place
}

/**
 * A mean with its expanded uncertainty: U to two significant digits, the mean to the same place (JCGM 100:2008, 7.2.6). Where U
 * is not known (null), the mean has the channel's decimals and nothing stands beside it.
 */
export function uncertainTexts(mean: number, uncertainty: number | null, decimals: number): [string, string | null] {
  if (uncertainty === null || !(uncertainty > 0)) return [numberText(mean, decimals), null]
  const place = Math.min(8, placeOfTwoDigits(uncertainty))
  const shown = (value: number): string =>
    place >= 0 ? numberText(value, place) : numberText(Math.round(value * 10 ** place) / 10 ** place, 0)
  return [shown(mean), shown(uncertainty)]
}
const significant = new Intl.NumberFormat(undefined, { maximumSignificantDigits: 7, useGrouping: false })
const scientific = new Intl.NumberFormat(undefined, { maximumSignificantDigits: 7, notation: 'scientific' })
/** Seven significant digits, whatever the size, in one piece: so it can be taken over into another field. */
export const significantText = (value: number): string =>
  (value !== 0 && (Math.abs(value) < 1e-4 || Math.abs(value) >= 1e9) ? scientific : significant).format(value + 0)

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
