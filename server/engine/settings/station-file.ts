import { checkStationFile } from './cross-checks.ts'
import { stationShape } from './station-shape.ts'

export {
  type ChannelSettings,
  type HealthCause,
  healthCauses,
  type LimitSettings,
  type PhaseSettings,
  type RunSettings,
  type StationFile,
  type StationFileInput,
  type StreamSettings,
} from './station-shape.ts'

/** The station file: its shape, and its parts held against each other. Faults name the path, the value and what is allowed. */
export const stationFile = stationShape.superRefine(checkStationFile)
