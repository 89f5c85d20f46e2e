import { type Shade, shadeMotif, shadeWidth, tileSize } from './phase-pattern.ts'

/** Colours as a canvas needs them: resolved for the scheme in force. */
export interface Ink {
  readonly trace: string
  readonly ink: string
  readonly faint: string
  readonly line: string
  readonly alarm: string
  readonly action: string
  readonly panel: string
  readonly shades: Readonly<Record<Shade, CanvasPattern | string>>
}
const names = {
  trace: '--trace',
  ink: '--ink',
  faint: '--ink-faint',
  line: '--line',
  alarm: '--mark-alarm',
  action: '--action',
  panel: '--panel',
} as const

/** The probe lies in the shadow root: what is outside of it and in no slot has no style. */
function resolved(host: Element, name: string): string {
  const probe = document.createElement('i')
  probe.style.color = `var(${name})`
  ;(host.shadowRoot ?? host).append(probe)
  const colour = getComputedStyle(probe).color
  probe.remove()
  return colour
}

function shade(which: Shade, colour: string, ratio: number): CanvasPattern | string {
  const tile = document.createElement('canvas')
  tile.width = tile.height = tileSize * ratio
  const pen = tile.getContext('2d')
  if (!pen || !shadeMotif[which]) return 'transparent'
  pen.scale(ratio, ratio)
  pen.strokeStyle = colour
  pen.lineWidth = shadeWidth[which]
  pen.stroke(new Path2D(shadeMotif[which]))
  return pen.createPattern(tile, 'repeat') ?? 'transparent'
}

let cached: { key: string; ink: Ink } | null = null
/** The frame for which the colours were asked: asking makes the browser work out styles, and each chart asks a dozen times. */
let askedAt: CSSNumberish | null = null
/** One set of inks for all charts; made anew when the scheme or the screen's pixel ratio changes. */
export function inkFor(host: Element): Ink {
  const frame = document.timeline.currentTime
  if (cached && frame !== null && frame === askedAt) return cached.ink
  askedAt = frame
  const ratio = devicePixelRatio
  const plain = Object.fromEntries(Object.entries(names).map(([key, name]) => [key, resolved(host, name)])) as Record<
    keyof typeof names,
    string
  >
  const key = `${Object.values(plain).join()}/${ratio}`
  if (cached?.key === key) return cached.ink
  const hatch = resolved(host, '--hatch')
  const shades = Object.fromEntries(
    (Object.keys(shadeMotif) as Shade[]).map((which) => [
      which,
      shade(which, which === 'fault' ? plain.alarm : hatch, ratio),
    ]),
  ) as Record<Shade, CanvasPattern | string>
  cached = { key, ink: { ...plain, shades } }
  return cached.ink
}
