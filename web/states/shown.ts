import type { TemplateResult } from 'lit'

/** Components of one kind, each state with its name. */
export interface Group {
  readonly name: string
  /** For what is made for the whole width of a screen. */
  readonly isWide?: true
  readonly shown: readonly (readonly [state: string, component: TemplateResult | HTMLElement])[]
}
