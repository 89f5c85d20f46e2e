import { type Picks, readPicks, usualPicks, writePicks } from './picks.ts'
import { type TrendWindow, usualWindow } from './window.ts'

export const views = ['watch', 'averages', 'alarms', 'logbook', 'recordings', 'set-up', 'calculations'] as const
export type View = (typeof views)[number]

/** Where the page stands; the whole of it is in the address, so that a link and the back button restore it. */
export interface Route extends Picks {
  readonly view: View
  /** A recording that is played back; null: the live station. */
  readonly replay: string | null
  readonly window: TrendWindow
  /** *Watch* in letters for three metres. */
  readonly far: boolean
}
/** A place as one comes to it without having chosen anything there. */
export const plainRoute: Route = { view: 'watch', replay: null, window: usualWindow, far: false, ...usualPicks }

/** `#/watch?replay=ID&from=…&to=…` → a route; what is not understood falls back to the live watch. */
export function readRoute(hash: string): Route {
  const [path = '', query = ''] = hash.replace(/^#\/?/, '').split('?')
  const asked = new URLSearchParams(query)
  const [from, to, span] = ['from', 'to', 'span'].map((name) => Number(asked.get(name) ?? Number.NaN))
  const window: TrendWindow =
    asked.get('window') === 'run'
      ? { kind: 'run' }
      : from !== undefined && to !== undefined && to > from
        ? { kind: 'fixed', fromMs: from, toMs: to }
        : span !== undefined && span > 0
          ? { kind: 'now', spanMs: span }
          : usualWindow
  return {
    view: views.find((view) => view === path) ?? 'watch',
    replay: asked.get('replay') || null,
    window,
    far: asked.get('far') === '1',
    ...readPicks(asked),
  }
}

export function routeHash(route: Route): string {
  const { view, replay, window, far } = route
  const query = new URLSearchParams()
  if (replay !== null) query.set('replay', replay)
  if (window.kind === 'run') query.set('window', 'run')
  if (window.kind === 'fixed')
    for (const [name, value] of [
      ['from', window.fromMs],
      ['to', window.toMs],
    ] as const)
      query.set(name, String(value))
  if (
    window.kind === 'now' &&
    window !== usualWindow &&
    window.spanMs !== (usualWindow.kind === 'now' ? usualWindow.spanMs : 0)
  )
    query.set('span', String(window.spanMs))
  if (far && view === 'watch') query.set('far', '1')
  writePicks(query, route)
  const text = query.toString()
  return `#/${view}${text ? `?${text}` : ''}`
}
