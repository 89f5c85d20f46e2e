import type { CalculationStep } from '../../../protocols/live/explain.ts'
import { biasCorrected, type RunBias } from '../../engine/corrections/run-bias.ts'
import type { TracedLane, TracedSums } from '../../engine/tracing/traced.ts'

const finite = (value: number | undefined): number | null =>
  value === undefined || !Number.isFinite(value) ? null : value

const meanStep = (name: string, before: number, after: number, unit: string): CalculationStep => ({
  step: name,
  formula: '(before + after) / 2',
  inputs: [
    { name: 'answer before', value: before, unit },
    { name: 'answer after', value: after, unit },
  ],
  result: (before + after) / 2,
  unit,
  source: null,
})

/**
 * The correction of a run's means by its checks: the system's answers to both gases, then each lane's mean corrected. `means`: what
 * conversions go on with, corrected where there are checks.
 */
export function biasSteps(
  lanes: readonly TracedLane[],
  { means, biases }: TracedSums,
  unitOf: (channel: string) => string,
): { readonly steps: readonly CalculationStep[]; readonly means: readonly number[] } {
  const steps: CalculationStep[] = []
  const corrected = means.map((mean, lane) => {
    const bias = biases[lane]
    const { channel } = lanes[lane] ?? { channel: '' }
    if (!bias) return mean
    steps.push(...stepsOf(channel, unitOf(channel), mean, bias))
    return biasCorrected(mean, bias)
  })
  return { steps, means: corrected }
}

function stepsOf(channel: string, unit: string, mean: number, bias: RunBias): CalculationStep[] {
  const [lowBefore, lowAfter, upscaleBefore, upscaleAfter] = bias.checks
  const isZero = bias.lowGas === 0
  return [
    meanStep(`answer of ${channel} to the low gas, C_O`, lowBefore.response, lowAfter.response, unit),
    meanStep(`answer of ${channel} to the upscale gas, C_M`, upscaleBefore.response, upscaleAfter.response, unit),
    {
      step: `mean of ${channel}, corrected for bias and drift`,
      formula: isZero ? '(C_avg − C_O) · C_MA / (C_M − C_O)' : '(C_avg − C_M) · (C_MA − C_OA) / (C_M − C_O) + C_MA',
      inputs: [
        { name: 'mean, C_avg', value: finite(mean), unit },
        { name: 'answer to the low gas, C_O', value: bias.low, unit },
        { name: 'answer to the upscale gas, C_M', value: bias.upscale, unit },
        ...(isZero ? [] : [{ name: 'low gas, C_OA', value: bias.lowGas, unit }]),
        { name: 'upscale gas, C_MA', value: bias.upscaleGas, unit },
      ],
      result: finite(biasCorrected(mean, bias)),
      unit,
      source: `US EPA Method 7E (40 CFR 60 App. A-4), eq. ${isZero ? '7E-5b' : '7E-5a'}`,
    },
  ]
}
