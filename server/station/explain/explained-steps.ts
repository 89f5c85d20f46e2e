import type { CalculationStep } from '../../../protocols/live/explain.ts'
import type { AverageRow } from '../../../protocols/words/blocks.ts'
import { durationMs } from '../../../protocols/words/time.ts'
import { fractionParts } from '../../engine/averaging/validity.ts'
import { conversionSteps } from '../../engine/conversions/conversion-steps.ts'
import type { StationFile } from '../../engine/settings/station-file.ts'
import type { EngineState } from '../../engine/state.ts'
import type { Tracer } from '../../engine/tracing/tracer.ts'
import { biasSteps } from './explained-bias.ts'
import { stepsOfBlocks, validityOfBlocks } from './explained-blocks.ts'

const hourMs = 3_600_000

/** The rule that the average is judged by, in words. */
export function validityRule(station: StationFile, row: AverageRow): string {
  const ofBlocks = station.averaging.ofBlocks.find(({ average }) => average === row.average)
  if (ofBlocks) return validityOfBlocks(ofBlocks)
  if (row.count === 0) return 'there must be a counted reading whose time lies in the average; there is none'
  const { validity } = station.averaging
  const share = (minimum: string): string => {
    const [numerator, denominator] = fractionParts(minimum)
    return `at least ${minimum} of the time in which the plant ran must be counted: counted time × ${denominator} ≥ that time × ${numerator}`
  }
  switch (validity.rule) {
    case 'fraction':
      return share(validity.minimum)
    case 'minutes':
      return `at least ${validity.minimum} counted minutes`
    case 'quadrants':
      return durationMs(row.average) === hourMs
        ? 'a counted reading in each quarter of the hour in which the plant ran; in an hour with quality assurance two at least 15 minutes apart (40 CFR 60.13(h)(2))'
        : share(validity.minimum)
  }
}

/** From the sums to the row: means, conversions, coverage. */
export function calculationOf(engine: EngineState, tracer: Tracer, row: AverageRow): CalculationStep[] {
  const { station, plan } = engine.context
  const sums = tracer.sumsOf(row)
  const ofBlocks = tracer.blocksOf(row)
  if (ofBlocks) return stepsOfBlocks(row, ofBlocks)
  if (!sums) return []
  const lanes = tracer.lanes()
  const unitOf = (id: string): string =>
    lanes.find(({ channel }) => channel === id)?.from === 'converted'
      ? row.unit
      : (station.channels.find((channel) => channel.id === id)?.unit ?? '')
  // Of a part alone that reaches in from before no mean is told.
  const told = row.count === 0 ? [] : lanes
  const steps: CalculationStep[] = told.map(({ channel, from }, lane) => ({
    step: `mean of ${channel}`,
    formula: `sum of value · time / counted time${from === 'raw' ? ', values as read' : from === 'corrected' ? ', corrected values' : ', values converted reading by reading'}`,
    inputs: [
      { name: 'sum of value · time', value: (sums.integrals[lane] ?? 0) / 1000, unit: `${unitOf(channel)} · s` },
      { name: 'counted time', value: sums.countedMs / 1000, unit: 's' },
    ],
    result: finite(sums.means[lane]),
    unit: unitOf(channel),
    source: null,
  }))
  const conversion = plan.values.find(
    ({ channel, quantity, unit }) =>
      channel === tracer.value?.channel && quantity === row.quantity && unit === row.unit,
  )
  const biases = biasSteps(lanes, sums, unitOf)
  steps.push(...biases.steps)
  if (conversion && sums.converted && row.mean !== null)
    steps.push(...conversionSteps(station, conversion, biases.means))
  steps.push({
    step: 'coverage',
    formula: 'counted time / time of the average in which the plant ran',
    inputs: [
      { name: 'counted time', value: sums.countedMs / 1000, unit: 's' },
      { name: 'time in which the plant ran', value: sums.denominatorMs / 1000, unit: 's' },
    ],
    result: row.coverage,
    unit: '1',
    source: null,
  })
  return steps
}

const finite = (value: number | undefined): number | null =>
  value === undefined || !Number.isFinite(value) ? null : value
