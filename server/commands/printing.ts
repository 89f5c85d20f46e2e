import { type RefusalReason, refusalWords } from '../../protocols/instrument/reader.ts'

/** Results go to standard output, all talk to standard error. */
export const print = (text: string): void => void process.stdout.write(`${text}\n`)
export const printJson = (value: unknown): void => print(JSON.stringify(value, null, 2))
/** One JSON object of lists, an entry a line, without holding them. */
export function printJsonLists(lists: Readonly<Record<string, Iterable<unknown>>>): void {
  let before = '{'
  for (const [name, entries] of Object.entries(lists)) {
    print(`${before}${JSON.stringify(name)}: [`)
    let comma = ''
    for (const entry of entries) {
      print(`${comma}${JSON.stringify(entry)}`)
      comma = ','
    }
    before = '],\n'
  }
  print(']}')
}
export const say = (text: string): void => void process.stderr.write(`${text}\n`)

/** `3 lines take no part: a comment`. */
export const noPartText = (count: number, reason: RefusalReason): string =>
  `${count === 1 ? '1 line takes' : `${count} lines take`} no part: ${refusalWords[reason]}`

/** Progress of long work on a terminal; nothing where standard error is none. */
export function progress(what: string): { at(share: number): void; end(): void } {
  const shown = process.stderr.isTTY === true
  let last = -1
  return {
    at(share) {
      const percent = Math.min(100, Math.floor(share * 100))
      if (!shown || percent === last) return
      last = percent
      process.stderr.write(`\r${what}: ${percent} %`)
    },
    end() {
      if (shown && last >= 0) process.stderr.write('\r\u001b[K')
    },
  }
}
