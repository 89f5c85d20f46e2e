import { fileURLToPath } from 'node:url'

/** For the configurations: what the program's own files import to start a thread. A test of `worker-file.ts` itself gets that one. */
export const threadsMadeReady = [
  { find: /^\.\.\/worker-file\.ts$/, replacement: fileURLToPath(new URL('./start-thread.ts', import.meta.url)) },
]
