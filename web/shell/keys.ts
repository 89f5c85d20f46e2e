import { type View, views } from '../route.ts'
import type { TrendMove } from '../views/watch/trend-bar.ts'

export type KeyWish =
  | { readonly do: 'note' | 'acknowledge' | 'shelve' | 'far' | 'help' | 'play-or-pause' }
  | { readonly do: 'view'; readonly view: View }
  | { readonly do: 'trends'; readonly move: TrendMove }

const trendKeys: Readonly<Record<string, TrendMove>> = {
  ArrowLeft: 'earlier',
  ArrowRight: 'later',
  '+': 'closer',
  '=': 'closer',
  '-': 'wider',
  b: 'only-this',
  w: 'whole-run',
  0: 'now',
}
const takesKeys = 'input, textarea, select, dialog, [contenteditable]'

/** What a key asks for; null where it is typed into something, or belongs to the browser. */
export function keyWish(event: KeyboardEvent): KeyWish | null {
  if (event.ctrlKey || event.metaKey || event.altKey || event.isComposing) return null
  const at = event.composedPath().filter((target): target is Element => target instanceof Element)
  // A dialog that has just closed keeps the focus until the next frame; what is typed then is meant for the page.
  const isClosing = at.some((element) => element.matches('dialog:not([open])'))
  if (!isClosing && at.some((element) => element.matches(takesKeys))) return null
  const view = views[Number(event.key) - 1]
  if (view) return { do: 'view', view }
  const move = trendKeys[event.key]
  if (move) return { do: 'trends', move }
  switch (event.key) {
    case 'n':
      return { do: 'note' }
    case 'a':
      return { do: 'acknowledge' }
    case 's':
      return { do: 'shelve' }
    case 'f':
      return { do: 'far' }
    case '?':
      return { do: 'help' }
    case ' ':
      return at.some((element) => element.matches('button, a, summary')) ? null : { do: 'play-or-pause' }
    default:
      return null
  }
}
