#!/usr/bin/env node
import { runCommandLine } from './commands/command-line.ts'
import { outliveLostOutput } from './commands/lost-output.ts'

outliveLostOutput()
process.exitCode = await runCommandLine(process.argv)
