/** An event that leaves shadow roots and reaches the app. */
export function tell<T>(from: EventTarget, name: string, detail?: T): void {
  from.dispatchEvent(new CustomEvent(name, { detail, bubbles: true, composed: true }))
}
