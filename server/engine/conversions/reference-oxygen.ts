import type { BlockReason } from '../../../protocols/words/blocks.ts'
import type { VolumePercent } from '../../../protocols/words/units.ts'
import { finiteOrNaN } from '../valid-value.ts'

/** How concentrations are referred to an oxygen content. All in vol% of dry gas. */
export interface OxygenReference {
  readonly reference: VolumePercent
  /** Oxygen of the air: 21 in EU texts, 20.9 in US methods, 20.95 by physics. */
  readonly ambient: VolumePercent
  /** Above this measured oxygen nothing is referred: the divisor is too small. */
  readonly guard: VolumePercent
  /** Some permits forbid the correction where the measured oxygen lies below the reference. */
  readonly onlyAboveReference: boolean
}

/**
 * What a dry concentration is multiplied by to be at the reference oxygen: (A − O_ref) / (A − O).
 *
 * oxygen: measured, vol%, dry. Exactly 1 at the reference. NaN above the guard, at or above ambient, and where there is
 * no oxygen (NaN). Only the divisor is guarded: a negative concentration stays negative.
 * Source: Directive 2010/75/EU, Annex VI, Part 7; 1. BImSchV (2010), Annex 2 no. 2.2 (A = 21); 40 CFR 60.4213(d)(2)
 * (A = 20.9). The guard: data-handling practice, common practice, no source.
 */
export function oxygenFactor(oxygen: VolumePercent, by: OxygenReference): number {
  if (!(oxygen <= by.guard && oxygen < by.ambient)) return Number.NaN
  if (by.onlyAboveReference && oxygen < by.reference) return 1
  return (by.ambient - by.reference) / (by.ambient - oxygen)
}

/** A dry concentration at the reference oxygen, in its own unit; NaN where it cannot be formed. Source: as `oxygenFactor`. */
export const atReferenceOxygen = <Q extends number>(dry: Q, oxygen: VolumePercent, by: OxygenReference): Q =>
  finiteOrNaN((dry * oxygenFactor(oxygen, by)) as Q)

/** Why nothing was referred, or that the value was left as it is below the reference; null where it was referred. */
export function oxygenRemark(oxygen: VolumePercent, by: OxygenReference): BlockReason | null {
  if (Number.isNaN(oxygen)) return 'oxygen_invalid'
  if (oxygen > by.guard || oxygen >= by.ambient) return 'oxygen_near_ambient'
  return by.onlyAboveReference && oxygen < by.reference ? 'oxygen_below_reference_not_corrected' : null
}
