import type { ChannelInfo, LimitInfo } from '../../protocols/live/messages.ts'
import { speciesTable } from '../../protocols/words/species.ts'
import { valueOfLimit } from '../engine/alarms/limit-value.ts'
import type { EngineContext } from '../engine/context.ts'
import type { StationFile } from '../engine/settings/station-file.ts'

/** Decimals where the station file names none: what a portable analyser resolves (common practice, no source). */
function usualDecimals(channel: StationFile['channels'][number]): number {
  if (channel.unit === 'vol%' || channel.unit === 'L/min') return 2
  return channel.species ? 1 : 1
}

/** What a channel is called on screens. */
export const nameOfChannel = ({ id, name, species }: StationFile['channels'][number]): string =>
  name ?? (species ? speciesTable[species].formula : id.replaceAll('-', ' '))

export function channelInfos(station: StationFile, context: EngineContext): ChannelInfo[] {
  const needed = new Set(station.channels.flatMap(({ needs }) => needs.map(({ channel }) => channel)))
  return station.channels.map((channel, index) => {
    const place = context.plan.referred[index]
    const referred = place === null || place === undefined ? undefined : context.plan.values[place]
    return {
      id: channel.id,
      name: nameOfChannel(channel),
      stream: channel.stream ?? station.channels.find(({ id }) => id === channel.sumOf?.[0])?.stream ?? '',
      species: channel.species ?? null,
      quantity: channel.quantity ?? null,
      unit: channel.unit,
      basis: channel.species ? channel.basis : null,
      origin: channel.origin,
      decimals: channel.decimals ?? usualDecimals(channel),
      range: channel.range ?? null,
      t95Seconds: channel.t95Seconds,
      selfZeroing: channel.selfZeroing,
      referred:
        referred && referred.referenceOxygen !== null
          ? { unit: referred.unit, referenceOxygen: referred.referenceOxygen, decimals: 1 }
          : null,
      supporting: channel.species === undefined || needed.has(channel.id),
    }
  })
}

export function limitInfos({ station, plan, averagePlan, alarms }: EngineContext): LimitInfo[] {
  return alarms.limits.flatMap(({ limitId, index, settings }) => {
    const value = valueOfLimit(station, plan, averagePlan, index)
    if (!value) return []
    return [
      {
        id: limitId,
        channel: settings.channel,
        of: settings.of,
        average: settings.average ?? null,
        kind: settings.kind,
        value: settings.value,
        unit: value.unit,
        referenceOxygen: value.referenceOxygen,
        basis: settings.basis,
        quantity: value.quantity,
      },
    ]
  })
}
