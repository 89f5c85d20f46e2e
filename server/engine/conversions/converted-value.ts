import type { BlockReason } from '../../../protocols/words/blocks.ts'
import type { Basis, ValueQuantity } from '../../../protocols/words/quantities.ts'
import { type Fraction, quantity, type Unit, type VolumePercent } from '../../../protocols/words/units.ts'
import { dryFactor } from './dry-basis.ts'
import { type OxygenReference, oxygenFactor, oxygenRemark } from './reference-oxygen.ts'

/** A value formed from means (or, reading by reading, from readings) of one or several channels. */
export interface ConvertedValue {
  /** Index of the channel whose value it is. */
  readonly channel: number
  readonly quantity: ValueQuantity
  readonly unit: Unit
  readonly basis: Basis | null
  /** vol%; null where the value is not referred. */
  readonly referenceOxygen: number | null
  /** `273.15K,101.325kPa` for a mass concentration that we formed; null for a fraction and for the instrument's own mg/m3. */
  readonly conditions: string | null
  /** Channels whose corrected values go in, joint: own channel (of a sum: its members) first, then oxygen, then moisture. */
  readonly inputs: readonly number[]
  /** A single input: the conversion is a plain factor, and minimum, maximum and standard deviation scale with it. */
  readonly linearInFirst: boolean
  /** What it is made of, to be told step by step. */
  readonly recipe: Recipe
  /** `inputs` in the order of `ConvertedValue.inputs`, in the channels' units. NaN where the value cannot be formed; never infinite. */
  convert(inputs: ArrayLike<number>): number
  /** Why it cannot be formed, or what must be said of it (`oxygen_below_reference_not_corrected`); null where nothing. */
  reason(inputs: ArrayLike<number>): BlockReason | null
}

/** Water vapour: fixed, or from a channel whose value times `shareFactor` is the share of the wet gas's volume. */
export type Moisture =
  | { readonly from: 'fixed'; readonly share: Fraction }
  | { readonly from: 'channel'; readonly index: number; readonly shareFactor: number }

/** What a converted value is made of: Σ own · factor, made dry, then referred to the reference oxygen. */
export interface Recipe extends Pick<ConvertedValue, 'channel' | 'quantity' | 'unit' | 'basis' | 'conditions'> {
  readonly own: readonly { readonly index: number; readonly factor: number }[]
  /** Whether the own channels are wet and become dry. */
  readonly dries: boolean
  /** `volumePercentFactor`: from the oxygen channel's unit to vol%. */
  readonly oxygen: {
    readonly index: number
    readonly wet: boolean
    readonly volumePercentFactor: number
    readonly by: OxygenReference
  } | null
  /** Needed where something is wet; null there: the value is asked for and cannot be formed. */
  readonly moisture: Moisture | null
}

/** Makes the functions of a recipe; they allocate nothing. Formulas and sources: dry-basis.ts, reference-oxygen.ts. */
export function convertedValue(recipe: Recipe): ConvertedValue {
  const { channel, quantity: what, unit, basis, conditions, own, oxygen, dries } = recipe
  const needsMoisture = dries || (oxygen?.wet ?? false)
  const moisture = needsMoisture ? recipe.moisture : null
  const oxygenAt = own.length
  const moistureAt = own.length + (oxygen ? 1 : 0)
  const inputs = own.map(({ index }) => index)
  if (oxygen) inputs.push(oxygen.index)
  if (moisture?.from === 'channel') inputs.push(moisture.index)

  const ownSum = (values: ArrayLike<number>): number => {
    let sum = 0
    for (let place = 0; place < own.length; place++)
      sum += (values[place] ?? Number.NaN) * (own[place]?.factor ?? Number.NaN)
    return sum
  }
  const share = (values: ArrayLike<number>): Fraction => {
    if (moisture === null) return quantity<Fraction>(Number.NaN)
    return moisture.from === 'fixed'
      ? moisture.share
      : quantity<Fraction>((values[moistureAt] ?? Number.NaN) * moisture.shareFactor)
  }
  const dryOxygen = (values: ArrayLike<number>): VolumePercent => {
    const measured = (values[oxygenAt] ?? Number.NaN) * (oxygen?.volumePercentFactor ?? Number.NaN)
    return quantity<VolumePercent>(oxygen?.wet ? measured * dryFactor(share(values)) : measured)
  }
  return {
    channel,
    quantity: what,
    unit,
    basis,
    referenceOxygen: oxygen?.by.reference ?? null,
    conditions,
    inputs,
    linearInFirst: inputs.length === 1,
    recipe,
    convert(values) {
      let value = ownSum(values)
      if (dries) value *= dryFactor(share(values))
      if (oxygen) value *= oxygenFactor(dryOxygen(values), oxygen.by)
      return Number.isFinite(value) ? value : Number.NaN
    },
    reason(values) {
      if (Number.isNaN(ownSum(values))) return 'nothing_counted'
      if (needsMoisture) {
        const water = share(values)
        if (Number.isNaN(water)) return moisture?.from === 'channel' ? 'peripheral_invalid' : 'moisture_unknown'
        if (Number.isNaN(dryFactor(water))) return 'moisture_unknown'
      }
      return oxygen ? oxygenRemark(dryOxygen(values), oxygen.by) : null
    },
  }
}
