import type { AlarmPriority } from '../../../protocols/words/alarms.ts'
import { type HealthCause, healthCauses, type StationFile } from '../settings/station-file.ts'

export interface HealthSettings {
  readonly priority: AlarmPriority
  readonly onDelaySeconds: number
  readonly offDelaySeconds: number
  readonly latched: boolean
  readonly off: boolean
}

/**
 * Where the station file says nothing. Priorities follow from what is lost and how fast (ISA-18.2, from memory): high
 * is what ruins the instrument or the night within minutes. Delays: none to ten seconds for faults of battery, pump and
 * flow (common practice, no source). The watches of silence, purges, coverage and refused lines have waited already.
 * Nothing is latched: an alarm that returned unseen stays in the list until it is acknowledged anyhow.
 */
const defaults: Readonly<
  Record<HealthCause, readonly [priority: AlarmPriority, onDelaySeconds: number, offDelaySeconds: number]>
> = {
  condensate: ['high', 0, 10], // water reaches the cells within seconds
  'pump-flow': ['high', 5, 10], // without flow the readings mean nothing; a purge valve may dip it for a moment
  filter: ['medium', 10, 10], // clogs slowly
  'cell-temperature': ['medium', 10, 30], // drifts over minutes
  mains: ['medium', 10, 10], // a dip is not a failure; the battery carries the rest
  battery: ['high', 10, 10], // the night ends with it
  'cell-over-range': ['high', 0, 10], // overload harms the cell while it lasts
  'other-fault': ['medium', 0, 10],
  silence: ['high', 0, 0],
  'lost-link': ['high', 0, 0],
  'purge-overrun': ['medium', 0, 0],
  'purge-missing': ['medium', 0, 0],
  'coverage-at-risk': ['medium', 0, 0],
  'unparsable-lines': ['medium', 0, 0],
}

/** What holds for a health cause: the station file's word, else the default. */
export function healthSettings(station: Pick<StationFile, 'alarms'>, cause: HealthCause): HealthSettings {
  const [priority, onDelaySeconds, offDelaySeconds] = defaults[cause]
  const said = station.alarms[cause]
  return {
    priority: said?.priority ?? priority,
    onDelaySeconds: said?.onDelaySeconds ?? onDelaySeconds,
    offDelaySeconds: said?.offDelaySeconds ?? offDelaySeconds,
    latched: said?.latched ?? false,
    off: said?.off ?? false,
  }
}

/** The causes that the station file switches off: never raised, and printed as such. */
export const silencedCauses = (station: Pick<StationFile, 'alarms'>): readonly HealthCause[] =>
  healthCauses.filter((cause) => healthSettings(station, cause).off)
