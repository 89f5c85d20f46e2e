#!/usr/bin/env node
import { runCommandLine } from './commands/command-line.ts'

// A reader that has seen enough, as `head`, closes the pipe: that is no fault.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code !== 'EPIPE') throw error
})

process.exitCode = await runCommandLine(process.argv)
