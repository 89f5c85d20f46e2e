import { html, svg, type TemplateResult } from 'lit'

/** A state by its shape, so that no colour is needed to tell it. `good` is a plain dot: nothing to look at. */
export type Mark = 'good' | 'caution' | 'alarm' | 'off' | 'advice' | 'caution-plate' | 'alarm-plate'
const shapes: Readonly<Record<Mark, TemplateResult>> = {
  good: svg`<circle cx="8" cy="8" r="4" fill="currentColor"/>`,
  caution: svg`<path d="M8 1.5 15 14.5H1Z" fill="var(--caution)" stroke="var(--caution-edge)" stroke-width="1.2"/><path d="M8 6v4M8 11.6v1.2" stroke="#000" stroke-width="1.6"/>`,
  alarm: svg`<path d="M8 .8 15.2 8 8 15.2.8 8Z" fill="var(--alarm)" stroke="#000" stroke-width=".8"/><path d="M8 4.2v4.4M8 10.2v1.6" stroke="#000" stroke-width="1.8"/>`,
  // On a plate in the alarm's own colour the shape is what stands out, cut from it in black.
  'caution-plate': svg`<path d="M8 1 15.4 15H.6Z" fill="#000"/><path d="M8 6v4.4M8 11.8v1.6" stroke="var(--caution)" stroke-width="1.8"/>`,
  'alarm-plate': svg`<path d="M8 .2 15.8 8 8 15.8.2 8Z" fill="#000"/><path d="M8 3.8v5M8 10.4v1.8" stroke="var(--alarm)" stroke-width="2"/>`,
  off: svg`<circle cx="8" cy="8" r="5.5" fill="none" stroke="currentColor" stroke-width="1.5"/><path d="m4 12 8-8" stroke="currentColor" stroke-width="1.5"/>`,
  advice: svg`<circle cx="8" cy="8" r="6.4" fill="none" stroke="currentColor" stroke-width="1.4"/><path d="M8 7v5M8 4v1.6" stroke="currentColor" stroke-width="1.8"/>`,
}
export const mark = (which: Mark, size = 16): TemplateResult =>
  html`<svg width=${size} height=${size} viewBox="0 0 16 16" aria-hidden="true" focusable="false">${shapes[which]}</svg>`
