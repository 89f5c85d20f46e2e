import type uPlot from 'uplot'
import { numberText } from '../format/numbers.ts'
import { axisInstants, axisText, type Zone } from '../format/times.ts'
import type { Ink } from './canvas-ink.ts'

/** Room for the numbers of an axis, and at the right edge without one; the ribbon above keeps to the same. */
export const axisWidth = 60
const unitRoom = 16
export const bareEdge = 10
/** What is left at the right: an axis where another channel is laid over. */
export const rightRoom = (hasBeside: boolean): number => (hasBeside ? axisWidth : bareEdge)

const font = '12px system-ui, sans-serif'
const unitFont = '11px system-ui, sans-serif'

/** Times of the station's own clock. A time whose text would be cut off at the edge is left out. */
export const timeAxis = (
  show: boolean,
  ink: () => Ink,
  shown: () => { readonly fromMs: number; readonly toMs: number; readonly zone: Zone | null },
): uPlot.Axis => ({
  show,
  size: 26,
  font,
  stroke: () => ink().faint,
  grid: { show: false },
  ticks: { stroke: () => ink().line, size: 5 },
  splits: (plot) => {
    const { fromMs, toMs, zone } = shown()
    return zone
      ? axisInstants(fromMs, toMs - ((toMs - fromMs) * 14) / plot.width, plot.width / 92, zone).map((ms) => ms / 1000)
      : []
  },
  values: (_plot, splits) => {
    const { zone } = shown()
    return splits.map((at, index) =>
      zone
        ? axisText(at * 1000, ((splits[index + 1] ?? at) - (index ? (splits[index - 1] ?? at) : at)) * 1000, zone)
        : '',
    )
  },
})

/** Numbers and their unit at the left for the chart's own channel, at the right for the one that is laid over it. */
export const valueAxis = (scale: 'y' | 'beside', ink: () => Ink, unit: () => string): uPlot.Axis => ({
  scale,
  side: scale === 'y' ? 3 : 1,
  size: axisWidth - unitRoom,
  label: unit,
  labelSize: unitRoom,
  labelGap: 2,
  labelFont: unitFont,
  font,
  stroke: () => (scale === 'y' ? ink().faint : ink().action),
  space: 26,
  ticks: { show: false },
  grid: scale === 'y' ? { stroke: () => ink().line, width: 1 } : { show: false },
  values: (_plot, splits) => splits.map((value) => numberText(value, decimalsOf(splits))),
})

/** As many decimals as tell the marks of an axis apart. */
const decimalsOf = (splits: readonly number[]): number => {
  const step = Math.abs((splits[1] ?? 1) - (splits[0] ?? 0)) || 1
  return Math.max(0, Math.min(3, Math.ceil(-Math.log10(step) - 1e-9)))
}
