import { z } from 'zod'
import type { PlantState } from '../../protocols/words/phases.ts'
import { type Wander, wander } from '../distribution.ts'
import { chance } from '../random.ts'
import { cleanAir, copyGas, flueGas, type Gas } from './flue-gas.ts'
import { type Fuel, fuelOf, fuelSetting } from './fuel.ts'

const wobble = z
  .strictObject({
    swing: z.number().min(0).default(0).describe('Half the height of a slow swing.'),
    periodMinutes: z.number().positive().default(10),
    noise: z.number().min(0).default(0).describe('Standard deviation of the irregular part.'),
    forgetSeconds: z
      .number()
      .positive()
      .default(30)
      .describe('After this time the irregular part has forgotten itself to 1/e.'),
  })
  .prefault({})

const schedule = z
  .array(
    z.strictObject({
      atMinutes: z.number().min(0),
      loadPercent: z.number().min(0).max(120).describe('0: the burner is off and air stands in the duct.'),
      lambda: z.number().min(1).max(10).describe('Air supplied / air needed.'),
    }),
  )
  .min(1)
  .refine(
    (points) => points.every((point, index) => index === 0 || point.atMinutes >= (points[index - 1]?.atMinutes ?? 0)),
    'the points must come in the order of time',
  )

export const burnerSettings = z.strictObject({
  fuel: fuelSetting,
  schedule: schedule.describe('Load and excess air; straight lines between the points, level after the last.'),
  wobble: z.strictObject({ loadPercent: wobble, lambda: wobble }).prefault({}),
  carbonMonoxide: z
    .strictObject({
      floor: z.number().min(0),
      rich: z.number().min(0),
      richWidth: z.number().positive(),
      lowLoad: z.number().min(0).default(0),
      lowLoadBelow: z.number().positive().default(30),
    })
    .describe(
      'ppm dry = floor + rich · exp(−(lambda − 1) / richWidth) + lowLoad · (1 − load / lowLoadBelow) below that load. A declared curve, not a law.',
    ),
  nitrogenOxides: z
    .strictObject({
      peak: z.number().min(0),
      peakLambda: z.number().min(1),
      width: z.number().positive(),
      loadPower: z.number().min(0).default(0.5),
      dioxideShare: z.number().min(0).max(1).default(0.05),
    })
    .describe(
      'ppm dry = peak · (load / 100)^loadPower · exp(−((lambda − peakLambda) / width)²), of which a share is NO2. A declared curve, not a law.',
    ),
  startUp: z
    .strictObject({ seconds: z.number().min(0), carbonMonoxide: z.number().min(0) })
    .default({ seconds: 60, carbonMonoxide: 300 })
    .describe('After the burner lights: extra CO in ppm that dies away over this time.'),
  gasTemperature: z
    .strictObject({ at0: z.number(), at100: z.number(), forgetSeconds: z.number().positive().default(300) })
    .describe('degC at load 0 and 100 %, reached with this time constant.'),
})
export type BurnerSettings = z.infer<typeof burnerSettings>

/** What the burner does to the gas beyond its settings: trouble of a scenario, ppm dry. */
export interface BurnerTrouble {
  carbonMonoxide: number
  nitricOxide: number
}

export interface Burner {
  readonly fuel: Fuel
  readonly gas: Gas
  plant: PlantState
  loadPercent: number
  lambda: number
  gasTemperature: number
  /** Moves on by a step to `seconds` of the script and fills `gas` with what is at the probe. */
  step(seconds: number, stepSeconds: number, trouble: BurnerTrouble): void
}

const swingOf = (of: z.infer<typeof wobble>, seconds: number, noise: Wander, step: number): number =>
  of.swing * Math.sin((2 * Math.PI * seconds) / (60 * of.periodMinutes)) + (of.noise > 0 ? noise.next(step) : 0)

/** seed: of the night; the burner has streams of its own. */
export function makeBurner(settings: BurnerSettings, seed: number): Burner {
  const fuel = fuelOf(settings.fuel)
  const loadNoise = wander(
    settings.wobble.loadPercent.noise,
    settings.wobble.loadPercent.forgetSeconds,
    chance(seed, 'burner load'),
  )
  const lambdaNoise = wander(
    settings.wobble.lambda.noise,
    settings.wobble.lambda.forgetSeconds,
    chance(seed, 'burner lambda'),
  )
  const { schedule: points, carbonMonoxide: co, nitrogenOxides: nox, gasTemperature } = settings
  let next = 0
  let lastSeconds = -1
  let burningSeconds = Number.POSITIVE_INFINITY

  function planned(seconds: number): { load: number; lambda: number } {
    if (seconds < lastSeconds) next = 0
    lastSeconds = seconds
    while (next < points.length && (points[next]?.atMinutes ?? 0) * 60 <= seconds) next++
    const before = points[Math.max(0, next - 1)] ?? { atMinutes: 0, loadPercent: 0, lambda: 1 }
    const after = points[next]
    if (!after || next === 0) return { load: before.loadPercent, lambda: before.lambda }
    const share = (seconds / 60 - before.atMinutes) / (after.atMinutes - before.atMinutes)
    return {
      load: before.loadPercent + (after.loadPercent - before.loadPercent) * share,
      lambda: before.lambda + (after.lambda - before.lambda) * share,
    }
  }

  const burner: Burner = {
    fuel,
    gas: { ...cleanAir },
    plant: 'running',
    loadPercent: 0,
    lambda: 1,
    gasTemperature: Number.NaN,
    step(seconds, stepSeconds, trouble) {
      const plan = planned(seconds)
      const isBurning = plan.load > 0
      burningSeconds = isBurning ? (burner.plant === 'off' ? 0 : burningSeconds + stepSeconds) : burningSeconds
      const startUpLeft = isBurning ? Math.max(0, 1 - burningSeconds / Math.max(settings.startUp.seconds, 1e-9)) : 0
      burner.plant = isBurning ? (startUpLeft > 0 ? 'start-up' : 'running') : 'off'
      burner.loadPercent = isBurning
        ? Math.max(1, plan.load + swingOf(settings.wobble.loadPercent, seconds, loadNoise, stepSeconds))
        : 0
      burner.lambda = Math.max(1.005, plan.lambda + swingOf(settings.wobble.lambda, seconds, lambdaNoise, stepSeconds))
      const towards = gasTemperature.at0 + ((gasTemperature.at100 - gasTemperature.at0) * burner.loadPercent) / 100
      if (Number.isNaN(burner.gasTemperature)) burner.gasTemperature = towards
      burner.gasTemperature +=
        (towards - burner.gasTemperature) * (1 - Math.exp(-stepSeconds / gasTemperature.forgetSeconds))
      if (!isBurning) {
        copyGas(burner.gas, cleanAir)
        return
      }
      const { loadPercent, lambda } = burner
      const carbonMonoxide =
        co.floor +
        co.rich * Math.exp(-(lambda - 1) / co.richWidth) +
        co.lowLoad * Math.max(0, 1 - loadPercent / co.lowLoadBelow) +
        settings.startUp.carbonMonoxide * startUpLeft +
        trouble.carbonMonoxide
      const oxides =
        nox.peak * (loadPercent / 100) ** nox.loadPower * Math.exp(-(((lambda - nox.peakLambda) / nox.width) ** 2)) +
        trouble.nitricOxide
      flueGas(burner.gas, fuel, lambda, carbonMonoxide, oxides * (1 - nox.dioxideShare), oxides * nox.dioxideShare)
    },
  }
  return burner
}
