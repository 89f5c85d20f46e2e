import type { Guess } from './proposal.ts'

/** Beginnings that mark a comment in most text logs (common practice, no source). `--` and `%` only before a blank or a letter: `----` is a missing value. */
const marks: readonly { readonly mark: string; readonly fits: RegExp }[] = [
  { mark: '#', fits: /^#/ },
  { mark: '//', fits: /^\/\// },
  { mark: '--', fits: /^--[ \tA-Za-z]/ },
  { mark: '%', fits: /^%[ \tA-Za-z]/ },
]

/** Beginnings of lines that are comments: those that the smaller half of the lines has. */
export function guessComments(texts: readonly string[]): { readonly comment: string[]; readonly guesses: Guess[] } {
  const found = marks
    .map(({ mark, fits }) => ({ mark, count: texts.filter((text) => fits.test(text)).length }))
    .filter(({ count }) => count > 0 && count * 2 < texts.length)
  return {
    comment: found.map(({ mark }) => mark),
    guesses: found.map(({ mark, count }) => ({
      what: 'comment',
      value: mark,
      confidence: 0.9,
      reason: `${count} lines begin with it and the others do not`,
    })),
  }
}
