import type { StationFile } from '../settings/station-file.ts'

/** Whether a channel's span factor comes from the checks told of the run: of what is measured, and where bias does not correct it. */
export function takesSpanFromChecks({ corrections, channels }: StationFile, channel: number): boolean {
  const settings = channels[channel]
  const isMeasured = settings !== undefined && settings.origin !== 'computed' && !settings.sumOf
  return corrections.spanFrom === 'checks' && corrections.bias === 'none' && isMeasured
}
