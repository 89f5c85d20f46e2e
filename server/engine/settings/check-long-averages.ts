import { calendarDay, durationMs } from '../../../protocols/words/time.ts'
import { canonical } from './check-averages.ts'
import type { Examination, SettingPath } from './findings.ts'
import { type AverageOfBlocks, blocksHeld } from './long-averages-shape.ts'

/** More than a leap year of hours is not kept in memory. */
const mostBlocksHeld = 8784

/** Averages of blocks, and the one over the whole run. */
export function checkLongAverages(of: Examination): void {
  const { ofBlocks, run } = of.file.averaging
  ofBlocks.forEach((average, place) => {
    checkAverageOfBlocks(of, average, place, ['averaging', 'ofBlocks', place])
  })
  if (run !== 'none' && run.rule === 'fraction') atMostTheWhole(of, ['averaging', 'run', 'minimum'], run.minimum)
  const { decimals, significantFigures } = of.file.results.rounding
  if (decimals !== undefined && significantFigures !== undefined)
    of.add(
      ['results', 'rounding', 'significantFigures'],
      `${significantFigures} does not fit beside decimals ${decimals}; use one of them`,
    )
}

function checkAverageOfBlocks(of: Examination, entry: AverageOfBlocks, place: number, path: SettingPath): void {
  const { average, window, hours, valid } = entry
  const { ofBlocks, blocks, rolling, align } = of.file.averaging
  if (average !== calendarDay) canonical(of, [...path, 'average'], average)
  if (valid.share !== undefined) atMostTheWhole(of, [...path, 'valid', 'share'], valid.share)
  const formed = [
    ...blocks,
    ...ofBlocks.slice(0, place).flatMap((one) => (one.window === 'fixed' ? [one.average] : [])),
  ]
  if (!formed.includes(entry.of) && !of.unsure.settings.has('averaging.blocks'))
    of.add(
      [...path, 'of'],
      `"${entry.of}" is not formed: averaging.blocks has ${blocks.join(', ')}; add it there, or use one of them`,
    )
  const taken = window === 'rolling' ? rolling : blocks
  const before = ofBlocks.slice(0, place).some((one) => one.window === window && one.average === average)
  if (taken.includes(average) || before)
    of.add([...path, 'average'], `"${average}" is formed already; leave one of the two out`)
  if (window === 'fixed' && hours === 'operating')
    of.add([...path, 'hours'], '"operating" fits rolling averages; leave it out, or set window to "rolling"')
  if (average === calendarDay) {
    if (window === 'rolling') of.add([...path, 'window'], '"rolling" does not fit P1D; use PT24H')
    if (align === 'run') of.add([...path, 'average'], '"P1D" does not fit averaging.align "run"; use PT24H')
    return
  }
  const held = blocksHeld(entry)
  if (!Number.isInteger(held) || held < 2)
    of.add([...path, 'average'], `"${average}" is no multiple of ${entry.of}; use at least twice its length`)
  else if (held > mostBlocksHeld) of.add([...path, 'average'], `"${average}" holds more than ${mostBlocksHeld} blocks`)
  if (window === 'fixed' && 86_400_000 % (durationMs(average) ?? 7) !== 0)
    of.add([...path, 'average'], `"${average}" does not divide the day; use PT2H, PT3H, PT4H … or P1D`)
}

function atMostTheWhole(of: Examination, path: SettingPath, fraction: string): void {
  const [part = 0, whole = 1] = fraction.split('/').map(Number)
  if (part > whole) of.add(path, `"${fraction}" is more than the whole; use a fraction as 3/4`)
}
