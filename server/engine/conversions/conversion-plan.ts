import type { StationFile } from '../settings/station-shape.ts'
import {
  conditionsBeside,
  isConvertible,
  isPollutant,
  moistureChannelOf,
  moistureOf,
  ownParts,
  oxygenChannelOf,
  oxygenPart,
} from './channel-gas.ts'
import { type ConvertedValue, convertedValue, type Recipe } from './converted-value.ts'
import { type LimitFault, quantityOfLimit } from './limit-value.ts'
import { unitKind } from './units.ts'

export type { ConvertedValue } from './converted-value.ts'

/** All values that are formed from channels beyond what is read and drift corrected. */
export interface ConversionPlan {
  /** One per channel, quantity and unit; in the order of the channels, then what limits ask for beyond that. */
  readonly values: readonly ConvertedValue[]
  /** The oxygen channel of the station; null where there is none or each stream has its own. */
  readonly oxygen: number | null
  /** All channels that refer others. */
  readonly oxygenChannels: ReadonlySet<number>
  /** The channel that tells the moisture; null where it is fixed or not set. */
  readonly moisture: number | null
  /** For each channel the value (index into `values`) at the station's reference oxygen, for the live trace; null where there is none. */
  readonly referred: readonly (number | null)[]
  /** For each limit the value (index into `values`) that it is compared with; null: the channel's own, drift corrected where it is. */
  readonly limits: readonly (number | null)[]
}

/** What the plan is made of, before any function is built; faults name limits that can be compared with nothing. */
export interface PlannedRecipes {
  readonly recipes: readonly Recipe[]
  readonly limits: readonly (number | null)[]
  readonly faults: readonly (LimitFault & { readonly limit: number })[]
}

/** The values that a station's averages are converted to. A limit that cannot be formed has no value; the cross-checks refuse it. */
export function conversionPlan(station: StationFile): ConversionPlan {
  const { recipes, limits } = plannedRecipes(station)
  const values = recipes.map(convertedValue)
  const referring = new Set(recipes.flatMap(({ oxygen }) => (oxygen ? [oxygen.index] : [])))
  const referred = station.channels.map((_, index) => {
    const place = values.findIndex(
      ({ channel, quantity, referenceOxygen }) =>
        channel === index &&
        quantity === 'at_reference_oxygen' &&
        referenceOxygen === station.conversions.referenceOxygen,
    )
    return place < 0 ? null : place
  })
  return {
    values,
    oxygen: oxygenChannelOf(station, -1),
    oxygenChannels: referring,
    moisture: moistureChannelOf(station),
    referred,
    limits,
  }
}

/** The recipes of all channels and limits. A channel has one recipe per quantity and unit, since these key its averages. */
export function plannedRecipes(station: StationFile): PlannedRecipes {
  const recipes = station.channels.flatMap((_, index) => recipesOf(station, index))
  const faults: (LimitFault & { limit: number })[] = []
  const limits = station.limits.map((limit, place): number | null => {
    const found = quantityOfLimit(
      station,
      limit,
      station.channels.findIndex(({ id }) => id === limit.channel),
    )
    if (!found.ok) {
      faults.push({ ...found.fault, limit: place })
      return null
    }
    const { recipe } = found
    if (recipe === null) return null
    const same = recipes.findIndex(
      ({ channel, quantity, unit }) =>
        channel === recipe.channel && quantity === recipe.quantity && unit === recipe.unit,
    )
    const kept = recipes[same]
    if (!kept) return recipes.push(recipe) - 1
    if (kept.oxygen?.by.reference !== recipe.oxygen?.by.reference) {
      faults.push({
        limit: place,
        key: 'referenceOxygen',
        message: `${recipe.oxygen?.by.reference} differs from ${kept.oxygen?.by.reference}, to which ${limit.channel} is already referred in ${limit.unit}; use one reference oxygen per channel and unit`,
      })
    } else if (kept.basis !== recipe.basis) {
      faults.push({
        limit: place,
        key: 'basis',
        message: `"${recipe.basis}" differs from "${kept.basis}", on which ${limit.channel} is already formed in ${limit.unit}; use "${kept.basis}"`,
      })
    }
    return same
  })
  return { recipes, limits, faults }
}

/** What is formed from a channel by itself: dry, mass concentration, at reference oxygen, in this order. */
function recipesOf(station: StationFile, index: number): Recipe[] {
  const channel = station.channels[index]
  if (!channel || !isConvertible(channel)) return []
  const moisture = moistureOf(station)
  const dries = channel.basis === 'wet' && moisture !== null
  const basis = channel.basis === 'wet' && !dries ? 'wet' : 'dry'
  const made: Recipe[] = []
  const make = (quantity: Recipe['quantity'], unit: Recipe['unit'], more: Partial<Recipe> = {}): void => {
    const own = ownParts(station, index, unit)
    if (own)
      made.push({
        channel: index,
        quantity,
        unit,
        basis,
        conditions: conditionsBeside(station, channel, unit),
        own,
        dries,
        oxygen: null,
        moisture,
        ...more,
      })
  }
  if (dries) make('dry', channel.unit)
  if (!isPollutant(channel)) return made
  const isFraction = unitKind(channel.unit) === 'fraction'
  if (isFraction) make('mass_concentration', 'mg/m3')
  const reference = station.conversions.referenceOxygen
  const oxygen = reference === undefined ? null : oxygenPart(station, index, reference)
  // Wet gas without a moisture stays on the list, null with the reason `moisture_unknown`: left out, it would not be missed.
  if (oxygen)
    make('at_reference_oxygen', isFraction ? station.conversions.referredUnit : 'mg/m3', {
      basis: 'dry',
      dries: channel.basis === 'wet',
      oxygen,
    })
  return made
}
