/** What stretch of time the trends show. */
export type TrendWindow =
  | { readonly kind: 'now'; readonly spanMs: number }
  | { readonly kind: 'run' }
  | { readonly kind: 'fixed'; readonly fromMs: number; readonly toMs: number }

/** A stretch that stands still. */
export type Stretch = Extract<TrendWindow, { kind: 'fixed' }>

const hour = 3_600_000
export const usualWindow: TrendWindow = { kind: 'now', spanMs: 2 * hour }
const shortestMs = 60_000
const longestMs = 40 * 24 * hour

/** The stretch at a moment: [from, to]. `startMs`: the run's start. A little room is left ahead of now. */
export function windowAt(window: TrendWindow, startMs: number | null, nowMs: number): { fromMs: number; toMs: number } {
  switch (window.kind) {
    case 'fixed':
      return { fromMs: window.fromMs, toMs: window.toMs }
    case 'now':
      return { fromMs: nowMs - window.spanMs, toMs: nowMs + window.spanMs * 0.01 }
    case 'run': {
      const fromMs = Math.min(startMs ?? nowMs - 2 * hour, nowMs - shortestMs)
      return { fromMs, toMs: nowMs + (nowMs - fromMs) * 0.01 }
    }
  }
}

/** Zooms about an instant: `factor` below 1 shows less. */
export function zoomed({ fromMs, toMs }: { fromMs: number; toMs: number }, aboutMs: number, factor: number): Stretch {
  const span = Math.min(longestMs, Math.max(shortestMs, (toMs - fromMs) * factor))
  const share = (aboutMs - fromMs) / (toMs - fromMs)
  return { kind: 'fixed', fromMs: Math.round(aboutMs - span * share), toMs: Math.round(aboutMs + span * (1 - share)) }
}
/** Moves by a share of what is shown; never wholly beyond now. */
export function panned({ fromMs, toMs }: { fromMs: number; toMs: number }, share: number, nowMs: number): TrendWindow {
  const span = toMs - fromMs
  const from = Math.min(fromMs + span * share, nowMs - span / 4)
  return { kind: 'fixed', fromMs: Math.round(from), toMs: Math.round(from + span) }
}

/** A stretch that was chosen; one too short to hold a line is widened. */
export function chosen(fromMs: number, toMs: number): TrendWindow {
  const room = Math.max(0, (shortestMs - (toMs - fromMs)) / 2)
  return { kind: 'fixed', fromMs: Math.round(fromMs - room), toMs: Math.round(toMs + room) }
}
