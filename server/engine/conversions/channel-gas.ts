import type { Species } from '../../../protocols/words/species.ts'
import {
  type Kelvin,
  type Kilopascal,
  quantity,
  type Unit,
  type VolumePercent,
} from '../../../protocols/words/units.ts'
import type { ChannelSettings, StationFile } from '../settings/station-shape.ts'
import type { Moisture, Recipe } from './converted-value.ts'
import { moistureShare } from './dry-basis.ts'
import { type Conditions, conditionsText } from './mass-concentration.ts'
import { statedMolarMass } from './nox.ts'
import { unitFactor, unitKind } from './units.ts'

/** Gases that refer or describe others; they get no mass concentration and are not referred to the reference oxygen themselves. */
const describing: ReadonlySet<Species> = new Set(['O2', 'CO2', 'H2O'])

/** Whether a channel is a gas that is referred and limited: not oxygen, carbon dioxide or water vapour. */
export const isPollutant = (channel: ChannelSettings): boolean =>
  channel.species !== undefined && !describing.has(channel.species)

/**
 * Whether we may convert a channel at all. What the instrument has already turned into mg/m3 or referred to an oxygen
 * content is never converted twice; an NOx that it computed from NO, still in ppm, is.
 */
export const isConvertible = (channel: ChannelSettings): boolean =>
  channel.species !== undefined &&
  channel.species !== 'H2O' &&
  channel.referenceOxygen === undefined &&
  !(channel.origin === 'computed' && unitKind(channel.unit) === 'mass')

/** The channels of a sum, or the channel itself. Unknown ids are left out; the cross-checks report them. */
export const membersOf = (station: StationFile, index: number): readonly number[] => {
  const sumOf = station.channels[index]?.sumOf
  if (!sumOf) return [index]
  return sumOf.map((id) => station.channels.findIndex((channel) => channel.id === id)).filter((member) => member >= 0)
}

const streamOf = (station: StationFile, index: number): string | undefined =>
  station.channels[membersOf(station, index)[0] ?? index]?.stream

/**
 * The channel that refers channel `index` to the reference oxygen: the one set, else the only O2 channel of its stream,
 * else the only one of the station; null where none or several would do.
 */
export function oxygenChannelOf(station: StationFile, index: number): number | null {
  const isOxygen = (channel: ChannelSettings): boolean => channel.species === 'O2'
  const set = station.conversions.oxygenChannel
  if (set !== undefined) return known(station.channels.findIndex((channel) => channel.id === set && isOxygen(channel)))
  const all = station.channels.flatMap((channel, place) => (isOxygen(channel) ? [place] : []))
  const near = all.filter((place) => streamOf(station, place) === streamOf(station, index))
  return (near.length === 1 ? near[0] : all.length === 1 ? all[0] : null) ?? null
}

/** The channel that tells the moisture; null where it is fixed or not set. */
export function moistureChannelOf(station: StationFile): number | null {
  const { moisture } = station.conversions
  return moisture && 'channel' in moisture
    ? known(station.channels.findIndex(({ id }) => id === moisture.channel))
    : null
}

/** The moisture as the station file tells it; null where it is not set, or its channel is in no unit of a volume fraction. */
export function moistureOf(station: StationFile): Moisture | null {
  const { moisture } = station.conversions
  if (!moisture) return null
  if ('percent' in moisture) return { from: 'fixed', share: moistureShare(moisture.percent) }
  const index = moistureChannelOf(station)
  const percent = unitFactor(station.channels[index ?? -1]?.unit ?? '1', 'vol%', null)
  return index === null || percent === null ? null : { from: 'channel', index, shareFactor: moistureShare(percent) }
}

const known = (index: number): number | null => (index < 0 ? null : index)

export const conditionsOf = (station: StationFile): Conditions => ({
  kelvin: quantity<Kelvin>(station.conversions.normal.temperatureK),
  kilopascal: quantity<Kilopascal>(station.conversions.normal.pressurekPa),
})

/** The own part of a recipe: channel or members with their factors to `unit`; null where the unit cannot be reached. */
export function ownParts(station: StationFile, index: number, unit: Unit): Recipe['own'] | null {
  const channel = station.channels[index]
  if (!channel?.species) return null
  const gas = {
    molarMass: statedMolarMass(channel.species, station.conversions.noxAs),
    conditions: conditionsOf(station),
  }
  const crosses = isConvertible(channel) && unitKind(channel.unit) === 'fraction' // an instrument's own mg/m3 stands at conditions that we do not know
  const parts: { index: number; factor: number }[] = []
  for (const member of membersOf(station, index)) {
    const factor = unitFactor(station.channels[member]?.unit ?? channel.unit, unit, crosses ? gas : null)
    if (factor === null) return null
    parts.push({ index: member, factor })
  }
  return parts
}

/** The conditions that stand beside a value in `unit`: those set, where we turned a fraction into a mass. */
export const conditionsBeside = (station: StationFile, channel: ChannelSettings, unit: Unit): string | null =>
  unitKind(channel.unit) === 'fraction' && unitKind(unit) === 'mass' ? conditionsText(conditionsOf(station)) : null

/** The oxygen part of a recipe at `reference` vol%; null where no oxygen channel can be told. */
export function oxygenPart(
  station: StationFile,
  index: number,
  reference: number,
): NonNullable<Recipe['oxygen']> | null {
  const place = oxygenChannelOf(station, index)
  const channel = station.channels[place ?? -1]
  if (place === null || !channel) return null
  const { ambientOxygen, oxygenGuard, onlyAboveReference } = station.conversions
  return {
    index: place,
    wet: channel.basis === 'wet',
    volumePercentFactor: unitFactor(channel.unit, 'vol%', null) ?? Number.NaN,
    by: {
      reference: quantity<VolumePercent>(reference),
      ambient: quantity<VolumePercent>(ambientOxygen),
      guard: quantity<VolumePercent>(oxygenGuard),
      onlyAboveReference,
    },
  }
}
