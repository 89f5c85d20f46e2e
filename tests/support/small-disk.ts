import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, statfsSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'

/** A small disk in memory, to be filled. Needs the right to mount; without it the test fails and says so. */
export class SmallDisk {
  readonly folder = mkdtempSync(join(tmpdir(), 'small-disk-'))

  constructor(megabytes = 1) {
    mount('-t', 'tmpfs', '-o', `size=${megabytes}m`, 'none', this.folder)
  }
  get freeBytes(): number {
    const { bavail, bsize } = statfsSync(this.folder)
    return bavail * bsize
  }
  grow(megabytes = 16): void {
    mount('-o', `remount,size=${megabytes}m`, this.folder)
  }
  makeReadOnly(): void {
    mount('-o', 'remount,ro', this.folder)
  }
  remove(): void {
    spawnSync('umount', ['-l', this.folder])
    rmSync(this.folder, { recursive: true, force: true })
  }
}

function mount(...options: string[]): void {
  const { status, stderr, error } = spawnSync('mount', options, { encoding: 'utf8' })
  if (status !== 0)
    throw new Error(`mount ${options.join(' ')}: ${error?.message ?? stderr}; this test needs to run as root`)
}
