import { roundedText } from '../engine/decision/rounding.ts'
import type { ZeroOutput } from '../engine/outputs.ts'

const mostDecimals = 6
/** Where no spread tells how far a mean can be trusted: more than any cell resolves. */
const plainFigures = 4

/** What a purge's zero says in the logbook. The mean is told to the second figure of its spread: behind that there is only noise. */
export function zeroText(zero: Omit<ZeroOutput, 'kind' | 'atMs' | 'middleMs'>): string {
  const spread = zero.standardDeviation ?? 0
  const decimals = spread > 0 ? Math.min(mostDecimals, Math.max(0, 1 - Math.floor(Math.log10(spread)))) : mostDecimals
  const shown = (value: number): string =>
    spread > 0
      ? roundedText(value, { decimals }, 'half-even')
      : String(Number(roundedText(Number(value.toPrecision(plainFigures)), { decimals }, 'half-even')))
  const around = zero.standardDeviation === null ? '' : ` ± ${shown(zero.standardDeviation)}`
  const before = zero.inUse === null ? '' : `, before ${shown(zero.inUse)}`
  const air = zero.clean ? '' : ', of air that was not clean'
  const use = zero.used ? 'subtracted from here on' : 'noted, not subtracted'
  return `zero of ${zero.channel}: ${shown(zero.mean)}${around} from ${zero.count} readings${before}${air}, ${use}`
}
