import type { Percent, Quantity } from '../../../protocols/words/units.ts'
import { meanOf, validValue } from '../valid-value.ts'

// Concentrations of one check share a unit, whichever it is; results are % of the calibration span. Acceptance limits are
// settings of the check, not of these formulas.

/** Analyser calibration error, % of span: 100 (C_dir − C_v) / CS. Source: US EPA Method 7E (40 CFR 60 App. A-4), eq. 7E-1 (from memory). */
export const calibrationError = (direct: number, certified: number, span: number): Percent =>
  validValue<Percent>((100 * (direct - certified)) / span, span > 0)

/** System bias, % of span: 100 (C_s − C_dir) / CS; with dilution C_v stands in the place of C_dir. Source: Method 7E, eq. 7E-2, 7E-3 (from memory). */
export const systemBias = (throughSystem: number, direct: number, span: number): Percent =>
  validValue<Percent>((100 * (throughSystem - direct)) / span, span > 0)

/** Drift, % of span: |SB_final − SB_initial|, both signed. Source: Method 7E, eq. 7E-4 (from memory). */
export const biasDrift = (before: Percent, after: Percent): Percent => validValue<Percent>(Math.abs(after - before))

/** NO2 converter's efficiency, %: 100 · NOx read / NO2 offered. Source: Method 7E, sec. 8.2.4.1 (from memory). */
export const converterEfficiency = (read: number, offered: number): Percent =>
  validValue<Percent>((100 * read) / offered, offered > 0)

/**
 * Mean corrected for bias and drift, low gas of zero: (C_avg − C_O) C_MA / (C_M − C_O).
 *
 * zero, upscale: means of the system's answers before and after the run. NaN where they do not differ.
 * Source: US EPA Method 7E (40 CFR 60 App. A-4), eq. 7E-5b; same form as the older eq. 6C-1.
 */
export const biasCorrected = (mean: number, zero: number, upscale: number, upscaleGas: number): number =>
  validValue<Quantity<'concentration'>>(((mean - zero) * upscaleGas) / (upscale - zero), upscale > zero)

/** The same with a low gas above zero: (C_avg − C_M) (C_MA − C_OA) / (C_M − C_O) + C_MA. Source: Method 7E, eq. 7E-5a; as the older eq. 3A-1. */
export const biasCorrectedWithLowGas = (
  mean: number,
  low: number,
  upscale: number,
  lowGas: number,
  upscaleGas: number,
): number =>
  validValue<Quantity<'concentration'>>(
    ((mean - upscale) * (upscaleGas - lowGas)) / (upscale - low) + upscaleGas,
    upscale > low,
    upscaleGas > lowGas,
  )

/**
 * Interference of another gas with a cell, % of the stack's own concentration:
 * 100 · (reading / gas) · (gas in the stack / own gas in the stack). Several gases add up.
 *
 * Source: interference response of ASTM D6522 and the portable methods like it (from memory).
 */
export const interference = (reading: number, gas: number, gasOfStack: number, ownOfStack: number): Percent =>
  validValue<Percent>((100 * reading * gasOfStack) / (gas * ownOfStack), gas > 0, ownOfStack > 0)

/** Stratification, %: the largest deviation of a point from the mean of all, of that mean. Source: Method 7E, sec. 8.1.2 (from memory). */
export const stratification = (points: readonly number[]): Percent => {
  const mean = meanOf(points)
  return validValue<Percent>((100 * Math.max(...points.map((point) => Math.abs(point - mean)))) / mean, mean > 0)
}

/** Points to sample after a stratification test: one up to 5 %, three up to 10 %, else twelve. Source: Method 7E, sec. 8.1.2 (from memory). */
export const pointsByStratification = (found: Percent): 1 | 3 | 12 => (found <= 5 ? 1 : found <= 10 ? 3 : 12)
