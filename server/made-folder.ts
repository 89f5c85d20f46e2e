import { existsSync, mkdirSync, statSync } from 'node:fs'
import { dirname, resolve } from 'node:path'

/**
 * Makes a folder and those above it that are missing. Throws the file system's error, `EEXIST` where a file has the name.
 *
 * Step by step: Node's own `recursive` never returns where a folder is there but takes none below it, as under /proc.
 */
export function makeFolder(folder: string): void {
  const missing: string[] = []
  let path = resolve(folder)
  while (!existsSync(path)) {
    missing.push(path)
    path = dirname(path)
  }
  for (const one of missing.reverse()) makeOne(one)
  if (missing.length === 0 && !statSync(path).isDirectory()) mkdirSync(path)
}

/** Another process may make it at the same moment. */
function makeOne(path: string): void {
  try {
    mkdirSync(path)
  } catch (error) {
    if (!existsSync(path)) throw error
  }
}
