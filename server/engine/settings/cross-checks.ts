import type { z } from 'zod'
import { checkAverages, checkLimits, checkRun } from './check-averages.ts'
import { checkChannels } from './check-channels.ts'
import { checkConversions } from './check-conversions.ts'
import { checkCorrections } from './check-corrections.ts'
import { checkLongAverages } from './check-long-averages.ts'
import { checkPhases } from './check-phases.ts'
import { checkStreams, checkTimeZone } from './check-streams.ts'
import { checkUncertainty } from './check-uncertainty.ts'
import { Examination, type Finding, nothingUnsure, type Unsure } from './findings.ts'
import type { StationFile } from './station-shape.ts'

/** Faults that only show when several parts of the file are held against each other, in the order of the file's parts. */
export function crossFaults(file: StationFile, unsure: Unsure = nothingUnsure): readonly Finding[] {
  const examination = new Examination(file, unsure)
  for (const check of [
    checkTimeZone,
    checkStreams,
    checkChannels,
    checkPhases,
    checkRun,
    checkCorrections,
    checkConversions,
    checkUncertainty,
    checkAverages,
    checkLongAverages,
    checkLimits,
  ])
    check(examination)
  return examination.findings
}

export function checkStationFile(file: StationFile, context: z.core.$RefinementCtx): void {
  for (const { path, message } of crossFaults(file))
    context.addIssue({ code: 'custom', path: [...path], message, input: file })
}
