import { defineConfig } from 'vite'
import { smallerScript } from './smaller-script.ts'

/** The station of `npm run dev`, behind Vite's own server. */
const station = 'http://127.0.0.1:8080'

/** Asked for under the station's own name: it refuses requests whose Host or Origin is another. */
const asItself = { target: station, changeOrigin: true, headers: { origin: station } }

export default defineConfig({
  root: import.meta.dirname,
  // Relative addresses: the dashboard also works behind a proxy that serves it under a path.
  base: './',
  plugins: [smallerScript],
  build: {
    outDir: '../dist/web',
    emptyOutDir: true,
    target: 'es2022',
    modulePreload: false,
    // The texts of the catalogue go where they are used: a name for each would weigh more.
    rolldownOptions: { optimization: { inlineConst: { mode: 'all' } } },
  },
  server: {
    host: '127.0.0.1',
    proxy: { '/api': { ...asItself, ws: true }, '/healthz': asItself, '/metrics': asItself },
  },
})
