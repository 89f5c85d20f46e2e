/** Results go to standard output, all talk to standard error. */
export const print = (text: string): void => void process.stdout.write(`${text}\n`)
export const printJson = (value: unknown): void => print(JSON.stringify(value, null, 2))
export const say = (text: string): void => void process.stderr.write(`${text}\n`)

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
