let isPressed = false
const ends = ['pointerup', 'pointercancel']
for (const name of ['pointerdown', ...ends]) addEventListener(name, () => (isPressed = !ends.includes(name)), true)

/**
 * A press leaves a field before it reaches a button: what was said of the field goes, and the button slips away below the finger.
 * So what was typed is taken as the press ends, before the button acts; at once where nothing is pressed.
 */
export function afterPress(take: () => void): void {
  if (!isPressed) {
    take()
    return
  }
  const ended = new AbortController()
  for (const name of ends)
    addEventListener(
      name,
      () => {
        ended.abort()
        take()
      },
      { capture: true, signal: ended.signal },
    )
}
