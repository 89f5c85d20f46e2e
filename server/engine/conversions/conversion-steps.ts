import { speciesTable } from '../../../protocols/words/species.ts'
import {
  type Fraction,
  mgPerM3PerUnit,
  ppmPerUnit,
  quantity,
  type Unit,
  type VolumePercent,
} from '../../../protocols/words/units.ts'
import type { ChannelSettings, StationFile } from '../settings/station-shape.ts'
import { conditionsOf } from './channel-gas.ts'
import type { ConvertedValue } from './converted-value.ts'
import { dryFactor } from './dry-basis.ts'
import { gasConstant, massPerFraction } from './mass-concentration.ts'
import { statedMolarMass } from './nox.ts'
import { oxygenFactor, oxygenRemark } from './reference-oxygen.ts'
import { unitKind } from './units.ts'

export interface StepInput {
  readonly name: string
  /** null: there is none. */
  readonly value: number | null
  readonly unit: string
}

/** One step of a calculation, in words, so that it can be followed with a pocket calculator. */
export interface CalculationStep {
  readonly step: string
  readonly formula: string
  readonly inputs: readonly StepInput[]
  readonly result: number | null
  readonly unit: string
  /** Where the formula is from; null: its own words say all. */
  readonly source: string | null
}

const finite = (value: number): number | null => (Number.isFinite(value) ? value : null)

/**
 * The steps that lead from the means of a value's inputs to the converted mean, with all constants; the last result is
 * what `value.convert` gives. `means`: in the order of `value.inputs`, in the channels' units.
 */
export function conversionSteps(
  station: StationFile,
  value: ConvertedValue,
  means: readonly number[],
): CalculationStep[] {
  const { recipe } = value
  const steps: CalculationStep[] = []
  const channelAt = (index: number): ChannelSettings => station.channels[index] as ChannelSettings
  const meanOf = (index: number): StepInput => ({
    name: `mean of ${channelAt(index).id}`,
    value: finite(means[value.inputs.indexOf(index)] ?? Number.NaN),
    unit: channelAt(index).unit,
  })
  const put = (step: CalculationStep): number => {
    steps.push(step)
    return step.result ?? Number.NaN
  }

  let sum = 0
  recipe.own.forEach(({ index, factor }, place) => {
    sum += (means[place] ?? Number.NaN) * factor
    const { unit } = channelAt(index)
    const isTold = recipe.own.slice(0, place).some((other) => channelAt(other.index).unit === unit)
    if (unit !== recipe.unit && !isTold)
      steps.push(factorStep(station, channelAt(value.channel), unit, recipe.unit, factor))
  })
  const isPlain = recipe.own.length === 1 && recipe.own[0]?.factor === 1
  let result = isPlain
    ? sum
    : put({
        step: recipe.own.length > 1 ? 'sum in one unit' : 'into the other unit',
        formula: recipe.own.length > 1 ? 'sum of mean · factor over the members' : 'mean · factor',
        inputs: recipe.own.flatMap(({ index, factor }) => [
          meanOf(index),
          {
            name: `factor of ${channelAt(index).id}`,
            value: factor,
            unit: `${recipe.unit} per ${channelAt(index).unit}`,
          },
        ]),
        result: finite(sum),
        unit: recipe.unit,
        source: null,
      })

  const needsMoisture = recipe.dries || (recipe.oxygen?.wet ?? false)
  let share = Number.NaN
  if (needsMoisture && recipe.moisture) {
    const { moisture } = recipe
    share =
      moisture.from === 'fixed'
        ? moisture.share
        : (means[value.inputs.indexOf(moisture.index)] ?? Number.NaN) * moisture.shareFactor
    put({
      step: 'water vapour',
      formula: moisture.from === 'fixed' ? 'fixed in the settings' : 'mean · factor',
      inputs:
        moisture.from === 'fixed'
          ? []
          : [meanOf(moisture.index), { name: 'factor', value: moisture.shareFactor, unit: '1' }],
      result: finite(share),
      unit: 'share of the wet gas',
      source: null,
    })
  }
  const drying = (name: string, wet: number, unit: string): number =>
    put({
      step: `${name} made dry`,
      formula: 'wet / (1 − water vapour)',
      inputs: [
        { name: `${name}, wet`, value: finite(wet), unit },
        { name: 'water vapour', value: finite(share), unit: '1' },
      ],
      result: finite(wet * dryFactor(quantity<Fraction>(share))),
      unit,
      source: 'US EPA Method 19 (40 CFR 60 App. A-7), eq. 19-4; 40 CFR 1065.659 in the inverse form',
    })
  if (recipe.dries) result = drying('concentration', result, recipe.unit)
  if (!recipe.oxygen) return steps

  const { index, wet, volumePercentFactor, by } = recipe.oxygen
  let oxygen = (means[value.inputs.indexOf(index)] ?? Number.NaN) * volumePercentFactor
  if (volumePercentFactor !== 1)
    put({
      step: 'oxygen in vol%',
      formula: 'mean · factor',
      inputs: [
        meanOf(index),
        { name: 'factor', value: volumePercentFactor, unit: `vol% per ${channelAt(index).unit}` },
      ],
      result: finite(oxygen),
      unit: 'vol%',
      source: null,
    })
  if (wet) oxygen = drying('oxygen', oxygen, 'vol%')
  const factor = oxygenFactor(quantity<VolumePercent>(oxygen), by)
  const remark = oxygenRemark(quantity<VolumePercent>(oxygen), by)
  put({
    step: 'factor of the reference oxygen',
    formula:
      remark === 'oxygen_below_reference_not_corrected'
        ? '1: the oxygen lies below the reference, and the settings correct only above it'
        : remark === null
          ? '(oxygen of the air − reference oxygen) / (oxygen of the air − oxygen)'
          : `not formed: the oxygen lies above ${by.guard} vol%, or at that of the air, or there is none`,
    inputs: [
      { name: 'oxygen of the air', value: by.ambient, unit: 'vol%' },
      { name: 'reference oxygen', value: by.reference, unit: 'vol%' },
      { name: 'oxygen', value: finite(oxygen), unit: 'vol%' },
    ],
    result: finite(factor),
    unit: '1',
    source: 'Directive 2010/75/EU, Annex VI, Part 7; 40 CFR 60.4213(d)(2) with 20.9 for air',
  })
  put({
    step: `at ${by.reference} vol% oxygen`,
    formula: 'concentration · factor',
    inputs: [
      { name: 'concentration', value: finite(result), unit: recipe.unit },
      { name: 'factor', value: finite(factor), unit: '1' },
    ],
    result: finite(result * factor),
    unit: recipe.unit,
    source: null,
  })
  return steps
}

/** How the factor from one unit to the other comes about. */
function factorStep(
  station: StationFile,
  channel: ChannelSettings,
  from: Unit,
  to: Unit,
  factor: number,
): CalculationStep {
  const crosses = unitKind(from) === 'fraction' && unitKind(to) === 'mass'
  if (!crosses || !channel.species)
    return {
      step: `factor from ${from} to ${to}`,
      formula: 'the units’ ratio',
      inputs: [],
      result: factor,
      unit: `${to} per ${from}`,
      source: null,
    }
  const at = conditionsOf(station)
  const molarMass = statedMolarMass(channel.species, station.conversions.noxAs)
  const ppm = ppmPerUnit[from] ?? 1
  const mass = mgPerM3PerUnit[to] ?? 1
  const isPlain = ppm === 1 && mass === 1
  return {
    step: `factor from ${from} to ${to}`,
    formula: `molar mass · pressure / (gas constant · temperature)${isPlain ? '' : ' · ppm per unit / mg/m³ per unit'}`,
    inputs: [
      {
        name: `molar mass of ${channel.species === 'NOx' ? speciesTable[station.conversions.noxAs].formula : speciesTable[channel.species].formula}`,
        value: molarMass,
        unit: 'g/mol',
      },
      { name: 'pressure', value: at.kilopascal, unit: 'kPa' },
      { name: 'gas constant', value: gasConstant, unit: 'J/(mol K)' },
      { name: 'temperature', value: at.kelvin, unit: 'K' },
      ...(isPlain
        ? []
        : [
            { name: 'ppm per unit', value: ppm, unit: `ppm per ${from}` },
            { name: 'mg/m³ per unit', value: mass, unit: `mg/m³ per ${to}` },
          ]),
    ],
    result: isPlain ? massPerFraction(molarMass, at) : factor,
    unit: `${to} per ${from}`,
    source: 'ideal gas law; gas constant of CODATA (exact); molar masses from IUPAC’s standard atomic weights',
  }
}
