import { durationMs } from '../../../protocols/words/time.ts'
import type { GestureWish } from '../../parts/trend-gestures.ts'
import type { Session } from '../../session.ts'
import { chosen, panned, type TrendWindow, usualWindow, windowAt, zoomed } from '../../window.ts'
import type { TrendMove } from './trend-bar.ts'

/** Moves what the trends show; the address changes with it, so that going back undoes it. */
export function moveTrends(session: Session, move: TrendMove): void {
  const { station } = session.state
  if (station) session.go({ window: moved(session, move, station.run.startMs) })
}

function moved(session: Session, move: TrendMove, startMs: number | null): TrendWindow {
  const nowMs = session.now()
  const { window } = session.route
  const shown = windowAt(window, startMs, nowMs)
  const about = window.kind === 'fixed' ? (shown.fromMs + shown.toMs) / 2 : nowMs
  switch (move) {
    case 'now':
      return usualWindow
    case 'whole-run':
      return { kind: 'run' }
    case 'only-this':
      return blockAbout(session, about)
    case 'earlier':
      return panned(shown, -0.4, nowMs)
    case 'later':
      return panned(shown, 0.4, nowMs)
    case 'closer':
    case 'wider': {
      const next = zoomed(shown, about, move === 'closer' ? 0.5 : 2)
      // Zooming at the present keeps following it.
      return window.kind === 'now' ? { kind: 'now', spanMs: next.toMs - next.fromMs } : next
    }
  }
}

/** What wheel and fingers ask for; the whole of a gesture is one step back. */
export function gestureTrends(session: Session, { zoom, pan, begins }: GestureWish): void {
  const nowMs = session.now()
  const shown = windowAt(session.route.window, session.state.station?.run.startMs ?? null, nowMs)
  const about = shown.fromMs + (zoom?.about ?? 0) * (shown.toMs - shown.fromMs)
  const next = zoom ? zoomed(shown, about, zoom.factor) : shown
  session.go({ window: panned(next, pan, nowMs) }, !begins)
}

function blockAbout(session: Session, atMs: number) {
  const open = session.state.station?.openBlocks.findLast((row) => row.average === session.shownAverage)
  const length = durationMs(session.shownAverage) ?? 1_800_000
  const startMs = open ? open.startMs + Math.floor((atMs - open.startMs) / length) * length : atMs - length
  return chosen(startMs, startMs + length)
}

export function selectTrends(session: Session, { fromMs, toMs }: { fromMs: number; toMs: number }): void {
  session.go({ window: chosen(fromMs, toMs) })
}
