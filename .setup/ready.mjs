// `npm start` and `npm run build`: everything that must be there before the station starts. `--anew` builds in any case.
import { ensureBuild } from './build.mjs'
import { ensurePackages } from './packages.mjs'
import { main } from './run.mjs'

await main(async () => {
  await ensurePackages()
  await ensureBuild({ anew: process.argv.includes('--anew') })
  return 0
})
