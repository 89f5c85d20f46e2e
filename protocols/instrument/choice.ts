import { z } from 'zod'

/**
 * A setting that is one of several words, each with what it does in plain words: the form of the set-up shows these, the docs
 * list them, and editors that know `enumDescriptions` show them beside the word.
 */
export const choice = <const W extends Readonly<Record<string, string>>>(words: W) =>
  z
    .enum(Object.keys(words) as [keyof W & string, ...(keyof W & string)[]])
    .meta({ enumDescriptions: Object.values(words) })

/** The same for words that are listed elsewhere, where all or some need to be told. */
export const choiceOf = <const V extends readonly string[]>(
  values: V,
  words: Readonly<Partial<Record<V[number], string>>>,
) => {
  const schema = z.enum(values)
  // In the schema's own order: it puts a word of digits, as the unit `1`, first.
  return schema.meta({ enumDescriptions: schema.options.map((value: V[number]) => words[value] ?? '') })
}
