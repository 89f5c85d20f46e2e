import type { ChannelSettings, StationFile, StreamSettings } from '../settings/station-shape.ts'

/** Whether the lines of a stream tell the factor by which its values must be multiplied. */
export const tellsDilution = ({ profile }: StreamSettings): boolean =>
  typeof profile === 'object' && profile.dilution.state === 'not-in-the-values' && profile.dilution.field !== undefined

/** Whether a stream's values must be multiplied by a dilution factor: a fixed one, or one that its lines tell. */
export const isDilutedStream = ({ dilution, profile }: StreamSettings): boolean =>
  (dilution ?? 1) !== 1 || (typeof profile === 'object' && profile.dilution.state === 'not-in-the-values')

/** Whether the sample that a channel's own cell sees is diluted, and its value does not know it. A sum has none of its own. */
export function isDiluted(station: StationFile, { stream, species, sumOf, diluted }: ChannelSettings): boolean {
  if (species === undefined || sumOf || !diluted) return false
  return station.streams.some((one) => one.id === stream && isDilutedStream(one))
}
