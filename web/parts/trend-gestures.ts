/** What fingers and wheel ask of a chart. Places are shares of the plotting area, 0…1 from the left. */
export interface GestureWish {
  /** Zooms about a place; a factor below 1 shows less. */
  readonly zoom: { readonly about: number; readonly factor: number } | null
  /** Moves by this share of what is shown; positive: later. */
  readonly pan: number
  /** The first of its gesture: going back undoes the whole of it. */
  readonly begins: boolean
}

/** Wheel events that follow within this time belong to one gesture. */
const pauseMs = 900
const wheelStep = 1.25

/**
 * Wheel: zooms a chart that has the focus, or with the control key, as which a touchpad's pinch arrives; sideways it
 * moves. Else it goes on scrolling the page. Touch: one finger sideways moves, two zoom and move; up and down scrolls.
 * Returns what releases it all.
 */
export function watchGestures(box: HTMLElement, area: () => DOMRect, ask: (wish: GestureWish) => void): () => void {
  const fingers = new Map<number, number>()
  let wheelAtMs = Number.NEGATIVE_INFINITY
  let begins = true
  const place = (clientX: number) => {
    const { left, width } = area()
    return (clientX - left) / Math.max(1, width)
  }
  const spread = () => {
    const [one, other] = [...fingers.values()]
    return one === undefined || other === undefined
      ? null
      : { middle: (one + other) / 2, wide: Math.max(0.02, Math.abs(one - other)) }
  }

  const wheeled = (event: WheelEvent) => {
    const sideways = event.shiftKey ? event.deltaY : event.deltaX
    const isSideways = event.shiftKey || Math.abs(event.deltaX) > Math.abs(event.deltaY)
    const isOurs = event.ctrlKey || box.matches(':focus')
    if (!isOurs && !(isSideways && !event.shiftKey)) return
    event.preventDefault()
    const isFirst = event.timeStamp - wheelAtMs > pauseMs
    wheelAtMs = event.timeStamp
    if (isSideways) ask({ zoom: null, pan: sideways / Math.max(1, area().width), begins: isFirst })
    else
      ask({
        zoom: { about: place(event.clientX), factor: event.deltaY > 0 ? wheelStep : 1 / wheelStep },
        pan: 0,
        begins: isFirst,
      })
  }
  const down = (event: PointerEvent) => {
    box.focus({ preventScroll: true })
    if (event.pointerType === 'mouse') return
    if (!fingers.size) begins = true
    fingers.set(event.pointerId, place(event.clientX))
  }
  const moved = (event: PointerEvent) => {
    const was = fingers.get(event.pointerId)
    if (was === undefined || fingers.size > 2) return
    const before = spread()
    const now = place(event.clientX)
    fingers.set(event.pointerId, now)
    const after = spread()
    if (before && after)
      ask({
        zoom: { about: after.middle, factor: before.wide / after.wide },
        pan: before.middle - after.middle,
        begins,
      })
    else ask({ zoom: null, pan: was - now, begins })
    begins = false
  }
  const up = (event: PointerEvent) => void fingers.delete(event.pointerId)

  box.addEventListener('wheel', wheeled, { passive: false })
  box.addEventListener('pointerdown', down)
  box.addEventListener('pointermove', moved)
  for (const name of ['pointerup', 'pointercancel', 'pointerleave'] as const) box.addEventListener(name, up)
  return () => {
    box.removeEventListener('wheel', wheeled)
    box.removeEventListener('pointerdown', down)
    box.removeEventListener('pointermove', moved)
    for (const name of ['pointerup', 'pointercancel', 'pointerleave'] as const) box.removeEventListener(name, up)
  }
}
