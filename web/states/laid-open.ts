import type { LitElement } from 'lit'

/** In its place on the page, not above it; as tall as what it holds. */
const inPlace = new CSSStyleSheet()
inPlace.replaceSync(
  ':host { display: block; min-width: 0; } dialog[open] { position: static; margin: 0; max-width: 100%; max-height: none; }',
)

/** A component whose dialog stands open where it is: no layer above the page, so that many can be looked at at once. `fill`: what it is given once it stands. */
export function laidOpen<E extends LitElement>(component: E, fill: (component: E) => unknown = () => {}): E {
  void lay(component, fill)
  return component
}

async function lay<E extends LitElement>(component: E, fill: (component: E) => unknown): Promise<void> {
  // It is drawn once it is on the page; until then there is no dialog.
  await component.updateComplete
  const root = component.renderRoot
  if (root instanceof ShadowRoot) root.adoptedStyleSheets.push(inPlace)
  root.querySelector('dialog')?.setAttribute('open', '')
  await fill(component)
}
