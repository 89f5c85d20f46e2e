import { delimited } from './delimited.ts'
import { fixedWidth } from './fixed-width.ts'
import type { Form, LineForm } from './form.ts'
import { jsonLines } from './json-lines.ts'
import { keyValue } from './key-value.ts'
import { pattern } from './pattern.ts'
import type { LineProfile } from './profile.ts'

/** Each form of the schema with the code that reads it; the only place that knows them all. */
export type LineForms = { readonly [F in Form]: LineForm<Extract<LineProfile, { form: F }>> }

export const lineForms: LineForms = {
  delimited,
  'key-value': keyValue,
  'fixed-width': fixedWidth,
  'json-lines': jsonLines,
  pattern,
}

/** The form of a profile. The table pairs each form with its own settings, which the compiler can't follow through the union. */
export const formOf = (profile: LineProfile, forms: LineForms = lineForms): LineForm =>
  forms[profile.form] as unknown as LineForm
