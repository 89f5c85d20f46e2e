/** What waits for the end of the present press; null while nothing is pressed. */
let waiting: (() => void)[] | null = null
addEventListener('pointerdown', () => (waiting = []), true)
for (const name of ['pointerup', 'pointercancel'])
  addEventListener(
    name,
    () => {
      const due = waiting
      waiting = null
      for (const take of due ?? []) take()
    },
    true,
  )

/**
 * A press leaves a field before it reaches a button: what was said of the field goes, and the button slips away below the finger.
 * So what was typed is taken as the press ends, before the button acts; at once where nothing is pressed.
 */
export function afterPress(take: () => void): void {
  if (waiting) waiting.push(take)
  else take()
}
