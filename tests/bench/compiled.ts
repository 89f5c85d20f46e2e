import { existsSync } from 'node:fs'
import { fileURLToPath } from 'node:url'

/** A compiled module of ours, as it is delivered; `T` is the type of its source. Build first. */
export async function compiled<T>(path: string): Promise<T> {
  const url = new URL(`../../dist/${path}.js`, import.meta.url)
  if (!existsSync(fileURLToPath(url))) throw new Error(`${fileURLToPath(url)}: is not there; "npm run build" first`)
  return (await import(url.href)) as T
}

export const engineParts = async () => ({
  ...(await compiled<typeof import('../../server/engine/state.ts')>('server/engine/state')),
  ...(await compiled<typeof import('../../server/engine/step.ts')>('server/engine/step')),
  ...(await compiled<typeof import('../../server/sources/line-splitter.ts')>('server/sources/line-splitter')),
  ...(await compiled<typeof import('../../server/station/log-arrivals.ts')>('server/station/log-arrivals')),
  ...(await compiled<typeof import('../../server/station/drive-engine.ts')>('server/station/drive-engine')),
  ...(await compiled<typeof import('../../server/station/load-station-file.ts')>('server/station/load-station-file')),
  ...(await compiled<typeof import('../../server/station/settings-text.ts')>('server/station/settings-text')),
})
export type EngineParts = Awaited<ReturnType<typeof engineParts>>
