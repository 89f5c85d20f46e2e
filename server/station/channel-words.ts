import { speciesTable } from '../../protocols/words/species.ts'
import type { StationFile } from '../engine/settings/station-file.ts'

type Named = Pick<StationFile['channels'][number], 'id' | 'name' | 'species' | 'unit'>

/** What screens call a channel: its own name, else its gas, else its id in words. */
export const channelName = ({ id, name, species }: Omit<Named, 'unit'>): string =>
  name ?? (species ? speciesTable[species].formula : id.replaceAll('-', ' '))

/** By id: how a channel is written in a sentence. */
export type ChannelWords = ReadonlyMap<string, { readonly name: string; readonly unit: Named['unit'] }>

export const channelWords = (channels: readonly Named[]): ChannelWords =>
  new Map(channels.map((channel) => [channel.id, { name: channelName(channel), unit: channel.unit }]))
