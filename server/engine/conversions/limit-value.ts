import type { LimitSettings, StationFile } from '../settings/station-shape.ts'
import { conditionsBeside, isConvertible, isPollutant, moistureOf, ownParts, oxygenPart } from './channel-gas.ts'
import type { Recipe } from './converted-value.ts'
import { unitKind } from './units.ts'

/** Why a limit can be compared with nothing: the setting at fault and what would do. */
export interface LimitFault {
  readonly key: 'unit' | 'basis' | 'referenceOxygen'
  readonly message: string
}

/** What a limit is compared with: the channel's own value (`null`: drift corrected where it is, else as read), or a converted one. */
export type LimitValue =
  | { readonly ok: true; readonly recipe: Recipe | null }
  | { readonly ok: false; readonly fault: LimitFault }

const fault = (key: LimitFault['key'], message: string): LimitValue => ({ ok: false, fault: { key, message } })

/** The value of channel `index` that `limit` is compared with, by the limit's unit, basis and reference oxygen. */
export function quantityOfLimit(station: StationFile, limit: LimitSettings, index: number): LimitValue {
  const channel = station.channels[index]
  if (!channel) return fault('unit', 'has no channel')
  const { id, species, unit, basis } = channel
  if (species === undefined) {
    if (limit.referenceOxygen !== undefined)
      return fault('referenceOxygen', `${limit.referenceOxygen} does not fit ${id}, which is no gas; leave it out`)
    return limit.unit === unit
      ? { ok: true, recipe: null }
      : fault('unit', `"${limit.unit}" cannot be compared with ${id}, which is in ${unit}; use ${unit}`)
  }
  const own = ownParts(station, index, limit.unit)
  if (own === null) return fault('unit', unreachable(station, limit, index))
  const isReferred = channel.referenceOxygen !== undefined && channel.referenceOxygen === limit.referenceOxygen
  if (limit.referenceOxygen !== undefined && !isReferred) return referred(station, limit, index, own)
  if (channel.referenceOxygen !== undefined && !isReferred)
    return fault(
      'referenceOxygen',
      `is missing; ${id} is already at ${channel.referenceOxygen} vol% O2, so its limit must say referenceOxygen ${channel.referenceOxygen}`,
    )
  if (limit.basis === 'wet' && basis === 'dry')
    return fault('basis', `"wet" cannot be formed, since ${id} is dry; use "dry"`)
  const moisture = moistureOf(station)
  const dries = limit.basis === 'dry' && basis === 'wet'
  if (dries && !isConvertible(channel))
    return fault('basis', `"dry" cannot be formed, since ${id} is wet and is not converted again; use "wet"`)
  if (dries && moisture === null)
    return fault(
      'basis',
      `"dry" cannot be formed, since ${id} is wet and conversions.moisture is not set; set it, or use "wet"`,
    )
  if (!dries && limit.unit === unit) return { ok: true, recipe: null }
  const quantity = unitKind(limit.unit) !== unitKind(unit) ? 'mass_concentration' : dries ? 'dry' : 'drift_corrected'
  return {
    ok: true,
    recipe: {
      channel: index,
      quantity,
      unit: limit.unit,
      basis: limit.basis,
      conditions: conditionsBeside(station, channel, limit.unit),
      own,
      dries,
      oxygen: null,
      moisture,
    },
  }
}

function referred(station: StationFile, limit: LimitSettings, index: number, own: Recipe['own']): LimitValue {
  const channel = station.channels[index] as StationFile['channels'][number]
  const reference = limit.referenceOxygen ?? Number.NaN
  if (!isPollutant(channel))
    return fault(
      'referenceOxygen',
      `${reference} does not fit ${channel.id}: ${channel.species} is not referred to an oxygen content; leave it out`,
    )
  if (!isConvertible(channel)) {
    const already =
      channel.referenceOxygen === undefined
        ? 'was computed by the instrument'
        : `is already at ${channel.referenceOxygen} vol% O2`
    return fault(
      'referenceOxygen',
      `${reference} cannot be formed: ${channel.id} ${already} and is not converted again`,
    )
  }
  if (limit.basis === 'wet')
    return fault('basis', '"wet" does not fit a reference oxygen, to which only dry gas is referred; use "dry"')
  const oxygen = oxygenPart(station, index, reference)
  if (oxygen === null)
    return fault(
      'referenceOxygen',
      `${reference} cannot be formed: no single O2 channel tells the oxygen; set conversions.oxygenChannel`,
    )
  const moisture = moistureOf(station)
  const dries = channel.basis === 'wet'
  if ((dries || oxygen.wet) && moisture === null) {
    const wet = dries ? channel.id : station.channels[oxygen.index]?.id
    return fault('referenceOxygen', `${reference} cannot be formed: ${wet} is wet and conversions.moisture is not set`)
  }
  return {
    ok: true,
    recipe: {
      channel: index,
      quantity: 'at_reference_oxygen',
      unit: limit.unit,
      basis: 'dry',
      conditions: conditionsBeside(station, channel, limit.unit),
      own,
      dries,
      oxygen,
      moisture,
    },
  }
}

function unreachable(station: StationFile, limit: LimitSettings, index: number): string {
  const channel = station.channels[index] as StationFile['channels'][number]
  const reachable = ['vol%', 'ppm', 'ppb', 'mg/m3', 'ug/m3', 'g/m3'].filter(
    (unit) => ownParts(station, index, unit as LimitSettings['unit']) !== null,
  )
  return `"${limit.unit}" cannot be formed from ${channel.id}, which is in ${channel.unit}; use ${reachable.join(', ')}`
}
