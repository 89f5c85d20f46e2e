import type { Scenario } from './scenario.ts'

export interface StationForOptions {
  /** Station seconds per real second; 1 unless the simulation runs at speed. */
  readonly speed?: number
  /** `line` unless set: a night at speed is ordered by the lines’ own time. */
  readonly timeFrom?: 'line' | 'arrival'
}

/** The station file that fits a scenario, as a plain object. source: as `streams[0].source` of a station file. */
export function stationFor(
  scenario: Scenario,
  source: object,
  options: StationForOptions = {},
): Record<string, unknown> {
  const { instrument, station } = scenario
  return {
    format: 1,
    regime: 'eu',
    ...station,
    streams: [
      {
        id: 'main',
        source,
        profile: instrument.profile,
        expectEverySeconds: instrument.stepSeconds,
        timeFrom: options.timeFrom ?? 'line',
      },
    ],
    ...(options.speed === undefined ? {} : { clock: { speed: options.speed } }),
  }
}
