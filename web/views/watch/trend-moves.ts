import { durationMs } from '../../../protocols/words/time.ts'
import type { Session } from '../../session.ts'
import { chosen, panned, usualWindow, windowAt, zoomed } from '../../window.ts'
import type { TrendMove } from './trend-bar.ts'

/** Moves what the trends show; the address changes with it, so that going back undoes it. */
export function moveTrends(session: Session, move: TrendMove): void {
  const { station } = session.state
  if (!station) return
  const nowMs = session.now()
  const shown = windowAt(session.route.window, station.run.startMs, nowMs)
  const follows = session.route.window.kind !== 'fixed'
  const about = follows ? nowMs : (shown.fromMs + shown.toMs) / 2
  switch (move) {
    case 'now': return session.go({ window: usualWindow })
    case 'whole-run': return session.go({ window: { kind: 'run' } })
    case 'only-this': return session.go({ window: blockAbout(session, follows ? nowMs : about) })
    case 'earlier': return session.go({ window: panned(shown, -0.4, nowMs) })
    case 'later': return session.go({ window: panned(shown, 0.4, nowMs) })
    case 'closer': case 'wider': {
      const factor = move === 'closer' ? 0.5 : 2
      const next = zoomed(shown, about, factor)
      // Zooming at the present keeps following it.
      return session.go({ window: session.route.window.kind === 'now' && next.kind === 'fixed' ? { kind: 'now', spanMs: next.toMs - next.fromMs } : next })
    }
  }
}

function blockAbout(session: Session, atMs: number) {
  const open = session.state.station?.openBlocks.find((row) => row.average === session.shownAverage)
  const length = durationMs(session.shownAverage) ?? 1_800_000
  const startMs = open ? open.startMs + Math.floor((atMs - open.startMs) / length) * length : atMs - length
  return chosen(startMs, startMs + length)
}

export function selectTrends(session: Session, { fromMs, toMs }: { fromMs: number; toMs: number }): void {
  session.go({ window: chosen(fromMs, toMs) })
}
