import type { TemplateResult } from 'lit'

/** Components of one kind, each state with its name. */
export interface Group {
  readonly name: string
  readonly shown: readonly (readonly [state: string, component: TemplateResult])[]
}
