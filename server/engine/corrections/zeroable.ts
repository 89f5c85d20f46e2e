import { combustionGases } from '../../../protocols/words/species.ts'
import type { StationFile } from '../settings/station-shape.ts'

/** Whether clean air is zero gas for a channel: combustion gases that the instrument measures and does not zero by itself. */
export function isZeroable(station: StationFile, index: number): boolean {
  const channel = station.channels[index]
  return Boolean(
    channel?.species &&
      combustionGases.has(channel.species) &&
      channel.origin === 'measured' &&
      !channel.selfZeroing &&
      !channel.sumOf,
  )
}

/** Whether a purge's zero is subtracted from a channel: where the station asks for it, never twice (docs/calculations.md). */
export const isZeroed = (station: StationFile, index: number): boolean =>
  station.corrections.zero !== 'none' && isZeroable(station, index)
