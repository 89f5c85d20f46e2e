import { storageFailure } from '../recording/trouble.ts'
import { exitStatus } from '../trouble.ts'
import { say } from './printing.ts'

/**
 * What is told may find nobody: a reader that has seen enough, as `head`, a terminal that was closed, a full disk under a
 * redirection. That ends no command, least of all a station in the middle of a run. Results that found no room make a command
 * end with the status of a full disk; a reader that went away is no failure.
 */
export function outliveLostOutput(): void {
  let foundNoRoom = false
  process.stdout.on('error', (error) => {
    if (storageFailure(error) !== 'disk-full' || foundNoRoom) return
    foundNoRoom = true
    say('flueledger: standard output: the disk is full; results are missing there. Make room, then ask again')
  })
  process.stderr.on('error', () => {
    // Nowhere is left to say it.
  })
  // The last words may fail after the command has ended.
  process.on('exit', (status) => {
    if (status === exitStatus.done && foundNoRoom) process.exitCode = exitStatus.diskFull
  })
}
