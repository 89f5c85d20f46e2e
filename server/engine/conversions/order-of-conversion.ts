import { quantity, type VolumePercent } from '../../../protocols/words/units.ts'
import { meanOf } from '../valid-value.ts'
import { atReferenceOxygen, type OxygenReference } from './reference-oxygen.ts'

/**
 * Each value referred to the reference oxygen with its own oxygen, then the mean.
 *
 * concentrations and oxygens: as many of both, dry, oxygen in vol%. NaN where one of them cannot be referred.
 * Source: EU practice for short-term values; common practice.
 */
export const meanOfReferred = (
  concentrations: readonly number[],
  oxygens: readonly VolumePercent[],
  by: OxygenReference,
): number =>
  meanOf(
    concentrations.map((value, place) =>
      atReferenceOxygen(value, oxygens[place] ?? quantity<VolumePercent>(Number.NaN), by),
    ),
  )

/** The mean concentration referred with the mean oxygen. Shapes as `meanOfReferred`. Source: US practice for a run; common practice. */
export const referredMean = (
  concentrations: readonly number[],
  oxygens: readonly VolumePercent[],
  by: OxygenReference,
): number =>
  concentrations.length === oxygens.length
    ? atReferenceOxygen(meanOf(concentrations), quantity<VolumePercent>(meanOf(oxygens)), by)
    : Number.NaN
