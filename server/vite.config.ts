import { copyFileSync, mkdirSync, readdirSync } from 'node:fs'
import { dirname, join, posix, resolve } from 'node:path'
import { defineConfig, type Plugin } from 'vite'

const top = resolve(import.meta.dirname, '..')
/** The command, the simulator without it, and what is started as a thread of its own. Each keeps its place, so that it is found from where it is started. */
const entries = [
  'server/main',
  'simulator/main',
  'server/recording/backup-thread',
  'server/recording/writer-thread',
  'server/station/long-work-thread',
]
/** Folders whose files of other kinds (ready profiles, scenarios) are read while the command runs. */
const foldersWithData = ['protocols', 'simulator']
/** Bindings look for what was compiled for this machine beside themselves. */
const unbundled = ['better-sqlite3', 'serialport', '@serialport/parser-readline']

/** What lies beside a source is found from there, in whatever file of dist/ the source has come to stand. */
const ownPlaces: Plugin = {
  name: 'own-places',
  transform(code, id) {
    if (!id.startsWith(`${top}/`) || id.includes('/node_modules/') || !code.includes('import.meta.url')) return null
    const place = id.slice(top.length + 1).replace(/\.ts$/, '.js')
    return code.replaceAll('import.meta.url', JSON.stringify(`place-in-dist:${place}`))
  },
  renderChunk(code, { fileName }) {
    return code.replaceAll(/"place-in-dist:([^"]+)"/g, (_, place: string) => {
      const way = posix.relative(posix.dirname(fileName), place)
      return `new URL(${JSON.stringify(way)}, import.meta.url).href`
    })
  },
}

const dataFiles: Plugin = {
  name: 'data-files',
  writeBundle({ dir }) {
    for (const folder of foldersWithData)
      for (const entry of readdirSync(join(top, folder), { withFileTypes: true, recursive: true })) {
        if (!entry.isFile() || entry.name.endsWith('.ts')) continue
        const from = join(entry.parentPath, entry.name)
        const to = join(dir as string, from.slice(top.length + 1))
        mkdirSync(dirname(to), { recursive: true })
        copyFileSync(from, to)
      }
  },
}

/** One file for what a command needs, packages and all: to load six hundred takes longer than most commands work. */
export default defineConfig({
  root: top,
  plugins: [ownPlaces, dataFiles],
  ssr: { noExternal: true, external: unbundled },
  build: {
    ssr: true,
    outDir: 'dist',
    emptyOutDir: false,
    minify: false,
    target: 'node20',
    rolldownOptions: {
      input: Object.fromEntries(entries.map((entry) => [entry, join(top, `${entry}.ts`)])),
      output: { entryFileNames: '[name].js', chunkFileNames: 'server/[name]-[hash].js' },
    },
  },
})
