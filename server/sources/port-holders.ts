import { readdir, readFile, readlink } from 'node:fs/promises'

/** A process that has a port open. */
export interface PortHolder {
  readonly pid: number
  readonly name: string
}

/**
 * The processes that have this device open, as far as this user may see them; Linux only, elsewhere none.
 * `device`: the resolved path, as `/dev/ttyUSB0`.
 */
export async function portHolders(device: string, procFolder = '/proc'): Promise<PortHolder[]> {
  const names = await readdir(procFolder).catch(() => [])
  const pids = names.filter((name) => /^\d+$/.test(name))
  const found = await Promise.all(
    pids.map(async (pid) => ((await hasOpen(`${procFolder}/${pid}/fd`, device)) ? holder(procFolder, pid) : null)),
  )
  return found.filter((one) => one !== null)
}

async function hasOpen(folder: string, device: string): Promise<boolean> {
  // Processes end and are not ours to look into: neither is a holder that we could name.
  const handles = await readdir(folder).catch(() => [])
  const targets = await Promise.all(handles.map((handle) => readlink(`${folder}/${handle}`).catch(() => '')))
  // Who holds the other end of a pseudo-terminal may keep this end open as well; it reads nothing from it.
  const isOtherEnd = device.startsWith('/dev/pts/') && targets.some((target) => target.endsWith('/ptmx'))
  return targets.includes(device) && !isOtherEnd
}

async function holder(procFolder: string, pid: string): Promise<PortHolder> {
  const name = await readFile(`${procFolder}/${pid}/comm`, 'utf8').catch(() => '')
  return { pid: Number(pid), name: name.trim() || 'a program' }
}
