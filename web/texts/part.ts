import type { nothing, TemplateResult } from 'lit'

/** What a sentence can have in it: a figure, a word, or something with a look of its own. */
export type Part = string | number | TemplateResult | typeof nothing
