import { z } from 'zod'
import { type Wander, wander } from '../distribution.ts'
import { cleanAir, copyGas, type Gas, mixIn } from '../plant/flue-gas.ts'
import { chance } from '../random.ts'

export const trainSettings = z.strictObject({
  lineLitres: z
    .number()
    .positive()
    .max(20)
    .describe('Volume between the probe and the cells; the delay is this over the flow.'),
  pump: z.strictObject({ litresPerMinute: z.number().positive(), noise: z.number().min(0).default(0.01) }),
  leakShare: z
    .number()
    .min(0)
    .max(0.5)
    .default(0)
    .describe('Room air drawn in beside the sample, share of the dry gas.'),
  cooler: z.strictObject({ outletDegC: z.number().min(0.5).max(40), noise: z.number().min(0).default(0.1) }),
  trap: z.strictObject({
    capacityMl: z.number().positive(),
    startMl: z.number().min(0).default(0),
    drain: z
      .enum(['none', 'by-level'])
      .default('none')
      .describe('`by-level`: a small pump empties the trap from 60 to 10 %.'),
  }),
})
export type TrainSettings = z.infer<typeof trainSettings>

/** Litres that a mole fills at 20 °C and 101.325 kPa: where the flow is measured. */
const LITRES_PER_MOLE = 24.055
/** Share of the capacity at which the trap is full. */
const FULL = 0.98

/** Saturation pressure over water as a share of 1013.25 hPa. Source: Magnus form with WMO coefficients, −45…60 °C. */
export const saturationShare = (degC: number): number => (6.112 * Math.exp((17.62 * degC) / (243.12 + degC))) / 1013.25

/** What the mishaps do to the train. */
export interface TrainTrouble {
  readonly trapFull: { readonly flowFallsTo: number } | null
  readonly pumpStrength: number
  readonly clogged: number
  readonly leakShare: number
}

export interface Train {
  /** Gas that reaches the cells, dried by the cooler: `water` is what the cooler left. */
  readonly atCells: Gas
  litresPerMinute: number
  coolerDegC: number
  trapPercent: number
  isTrapFull: boolean
  step(probe: Gas, drawsAir: boolean, stepSeconds: number, trouble: TrainTrouble): void
}

/** Plug flow through the sample line; each plug has its gas and its volume, and tiny ones are merged, so the list stays short. */
function makeLine(litres: number): { push(gas: Gas, volume: number, out: Gas): void } {
  const plugs: { gas: Gas; volume: number }[] = []
  let total = 0
  return {
    push(gas, volume, out) {
      const last = plugs[plugs.length - 1]
      if (last && last.volume + volume < litres / 100) {
        if (volume > 0) mixIn(last.gas, gas, volume / (last.volume + volume))
        last.volume += volume
      } else if (volume > 0 || !last) {
        plugs.push({ gas: { ...gas }, volume })
      }
      total += volume
      while (plugs.length > 1 && total - (plugs[0]?.volume ?? 0) >= litres * 0.999_999)
        total -= plugs.shift()?.volume ?? 0
      copyGas(out, plugs[0]?.gas ?? gas)
    },
  }
}

/** probe → in-leak → line → cooler and trap → cells. While fresh air is drawn in, the gas in the line stands still. */
export function makeTrain(settings: TrainSettings, seed: number): Train {
  const line = makeLine(settings.lineLitres)
  const pumpNoise: Wander = wander(settings.pump.noise, 20, chance(seed, 'pump'))
  const coolerNoise: Wander = wander(settings.cooler.noise, 120, chance(seed, 'cooler'))
  const taken: Gas = { ...cleanAir }
  let trapMl = settings.trap.startMl
  let wasForcedFull = false
  let isDraining = false

  const train: Train = {
    atCells: { ...cleanAir },
    litresPerMinute: settings.pump.litresPerMinute,
    coolerDegC: settings.cooler.outletDegC,
    trapPercent: 0,
    isTrapFull: false,
    step(probe, drawsAir, stepSeconds, trouble) {
      fillTrap(stepSeconds, trouble)
      const held = train.isTrapFull ? (trouble.trapFull?.flowFallsTo ?? 0.1) : 1
      const undisturbed = settings.pump.litresPerMinute + pumpNoise.next(stepSeconds)
      train.litresPerMinute = Math.max(0, undisturbed * trouble.pumpStrength * (1 - trouble.clogged) * held)
      train.coolerDegC = Math.max(0.5, settings.cooler.outletDegC + coolerNoise.next(stepSeconds))
      const litres = (train.litresPerMinute * stepSeconds) / 60
      if (drawsAir) {
        copyGas(train.atCells, cleanAir)
      } else {
        copyGas(taken, probe)
        const leak = Math.max(settings.leakShare, trouble.leakShare)
        if (leak > 0) mixIn(taken, cleanAir, leak)
        line.push(taken, litres, train.atCells)
      }
      const left = 100 * saturationShare(train.coolerDegC)
      if (train.atCells.water > left) {
        const moles = litres / LITRES_PER_MOLE
        trapMl += (moles * (train.atCells.water - left) * 18.015) / (100 - left) / 0.998
        train.atCells.water = left
      }
    },
  }
  return train

  function fillTrap(stepSeconds: number, trouble: TrainTrouble): void {
    const capacity = settings.trap.capacityMl
    if (trouble.trapFull) trapMl += (capacity * stepSeconds) / 60
    else if (wasForcedFull) trapMl = capacity * 0.03
    wasForcedFull = trouble.trapFull !== null
    if (settings.trap.drain === 'by-level' && !trouble.trapFull) {
      isDraining = trapMl > (isDraining ? 0.1 : 0.6) * capacity
      if (isDraining) trapMl = Math.max(0, trapMl - (capacity * stepSeconds) / 120)
    }
    trapMl = Math.min(trapMl, capacity)
    train.trapPercent = (100 * trapMl) / capacity
    train.isTrapFull = trapMl >= FULL * capacity
  }
}
