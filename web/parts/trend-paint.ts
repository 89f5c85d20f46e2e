import type uPlot from 'uplot'
import type { Picture } from '../history.ts'
import type { Ink } from './canvas-ink.ts'
import type { Shade } from './phase-pattern.ts'

/** What lies under and over a trace. Times in ms; ends are within or beyond the window. */
export interface TrendMarks {
  readonly shades: readonly { readonly shade: Shade; readonly startMs: number; readonly endMs: number }[]
  /** Stretches that do not count, in order: the scale leaves them out. */
  readonly apart: readonly { readonly startMs: number; readonly endMs: number }[]
  readonly steps: readonly {
    readonly startMs: number
    readonly endMs: number
    readonly mean: number
    readonly valid: boolean
    readonly isOpen: boolean
    readonly isBeyond: boolean
  }[]
  readonly limits: readonly { readonly value: number; readonly label: string }[]
  /** Notes and other things of the logbook that show as flags. */
  readonly flags: readonly number[]
}
export const noMarks: TrendMarks = { shades: [], apart: [], steps: [], limits: [], flags: [] }

const x = (plot: uPlot, ms: number) =>
  Math.min(plot.bbox.left + plot.bbox.width, Math.max(plot.bbox.left, plot.valToPos(ms / 1000, 'x', true)))

/** Bands of the phases and gaps, behind everything. */
export function paintShades(plot: uPlot, { shades }: TrendMarks, ink: Ink): void {
  const pen = plot.ctx
  pen.save()
  for (const { shade, startMs, endMs } of shades) {
    const [left, right] = [x(plot, startMs), x(plot, endMs)]
    if (right - left < 0.5) continue
    pen.fillStyle = ink.shades[shade]
    pen.fillRect(left, plot.bbox.top, right - left, plot.bbox.height)
  }
  pen.restore()
}

/** Another channel's trace on the right axis: dashed, in the colour of its numbers. */
export function paintBeside(plot: uPlot, { x: seconds, y: values }: Picture, ink: Ink): void {
  const pen = plot.ctx
  const ratio = devicePixelRatio
  const { left, top, width, height } = plot.bbox
  pen.save()
  pen.beginPath()
  pen.rect(left, top, width, height)
  pen.clip()
  pen.strokeStyle = ink.action
  pen.lineWidth = 1.4 * ratio
  pen.setLineDash([5 * ratio, 3 * ratio])
  pen.beginPath()
  let isOpen = false
  seconds.forEach((at, index) => {
    const value = values[index]
    if (value == null) {
      isOpen = false
      return
    }
    const place = [plot.valToPos(at, 'x', true), plot.valToPos(value, 'beside', true)] as const
    if (isOpen) pen.lineTo(...place)
    else pen.moveTo(...place)
    isOpen = true
  })
  pen.stroke()
  pen.restore()
}

/** Limits as dashed lines with their value, block means as steps, flags; over the trace. */
export function paintOver(plot: uPlot, { steps, limits, flags }: TrendMarks, ink: Ink): void {
  const pen = plot.ctx
  const ratio = devicePixelRatio
  const { left, top, width, height } = plot.bbox
  pen.save()
  pen.beginPath()
  pen.rect(left, top, width, height)
  pen.clip()
  for (const { startMs, endMs, mean, valid, isOpen, isBeyond } of steps) {
    const y = plot.valToPos(mean, 'y', true)
    const [start, end] = [x(plot, startMs), x(plot, endMs)]
    if (end - start < 3 * ratio) continue
    pen.strokeStyle = isBeyond ? ink.alarm : ink.ink
    pen.lineWidth = (valid ? 2.4 : 1.4) * ratio
    pen.setLineDash(valid && !isOpen ? [] : [4 * ratio, 3 * ratio])
    pen.beginPath()
    pen.moveTo(start + ratio, y)
    pen.lineTo(end - ratio, y)
    pen.stroke()
  }
  for (const { value, label } of limits) {
    const y = plot.valToPos(value, 'y', true)
    pen.strokeStyle = ink.alarm
    pen.lineWidth = 1.4 * ratio
    pen.setLineDash([9 * ratio, 5 * ratio])
    pen.beginPath()
    pen.moveTo(left, y)
    pen.lineTo(left + width, y)
    pen.stroke()
    pen.setLineDash([])
    pen.font = `${12 * ratio}px system-ui, sans-serif`
    const textWidth = pen.measureText(label).width
    pen.fillStyle = ink.panel
    pen.fillRect(left + 6 * ratio, y - 8 * ratio, textWidth + 8 * ratio, 16 * ratio)
    pen.fillStyle = ink.ink
    pen.textBaseline = 'middle'
    pen.textAlign = 'left'
    pen.fillText(label, left + 10 * ratio, y)
  }
  pen.setLineDash([])
  for (const atMs of flags) {
    const at = plot.valToPos(atMs / 1000, 'x', true)
    pen.fillStyle = ink.ink
    pen.beginPath()
    pen.moveTo(at, top)
    pen.lineTo(at + 8 * ratio, top)
    pen.lineTo(at, top + 9 * ratio)
    pen.fill()
    pen.fillRect(at - ratio / 2, top, ratio, height)
  }
  pen.restore()
}
