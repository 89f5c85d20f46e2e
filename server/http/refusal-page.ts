import { escaped } from './html-text.ts'

/** Why a file that was asked for by a link does not come: whoever pressed it sees a page, not a program's answer. */
export const refusalPage = (errors: readonly string[]): string =>
  `<!doctype html><html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width"><meta name="color-scheme" content="light dark"><title>This cannot be had</title></head><body><main><h1>This cannot be had</h1>${errors.map((error) => `<p>${escaped(error)}</p>`).join('')}<p><a href="/">To the station</a></p></main></body></html>`
