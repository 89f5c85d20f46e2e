import { type Species, speciesTable } from '../../../protocols/words/species.ts'
import type { Unit } from '../../../protocols/words/units.ts'
import { conditionsOf } from '../conversions/channel-gas.ts'
import { statedMolarMass } from '../conversions/nox.ts'
import { unitFactor } from '../conversions/units.ts'
import type { ChannelSettings, StationFile } from '../settings/station-shape.ts'

/** What is stated of an instrument's channel, complete. Absolute figures in the channel's unit, shares of the value as shares. */
export interface Papers {
  readonly resolution: number
  /** Standard uncertainty of the calibration gas, share of the value. */
  readonly calibrationGas: number
  /** Half-widths. */
  readonly linearity: number
  readonly linearityShare: number
  readonly zeroDriftOfDay: number
  readonly spanDriftShare: number
  /** Most water left in dry gas, share of the volume; 0 for a wet channel, whose water is part of the conversion. */
  readonly residualWater: number
  readonly crossSensitivity: readonly CrossSensitivity[]
}
export interface CrossSensitivity {
  /** The other channel. */
  readonly channel: number
  /** Half-width: this channel's unit per unit of the other. */
  readonly factor: number
}

/** In vol% for oxygen, carbon dioxide and water, in ppm for the others; percentages of the value. */
interface Stated {
  readonly resolution: number
  readonly calibrationGasPercent: number
  readonly linearity: number
  readonly linearityPercent: number
  readonly zeroDrift: number
  readonly spanDriftPercent: number
}

/**
 * What holds where the station file says nothing. No certificate of one instrument: what portable analysers with
 * electrochemical and infrared cells are commonly asked to keep. Sources, all from memory, to be checked before quoting:
 * EN 15267-3 and -4 for oxygen (lack of fit, zero and span drift 0.2 vol%), zero and span drift (2 % in 24 h) and lack of fit (2 %);
 * calibration gas 2 % (k = 2), as EN reference methods ask; wider for gases that stick to walls, our choice. Water:
 * EN 14790, 20 % (k = 2). Zero drift in ppm: our choice, the size that cells of some hundred ppm keep in a day.
 */
const combustionGas: Stated = {
  resolution: 1,
  calibrationGasPercent: 2,
  linearity: 0,
  linearityPercent: 2,
  zeroDrift: 2,
  spanDriftPercent: 2,
}
const stickingGas: Stated = { ...combustionGas, calibrationGasPercent: 3, linearityPercent: 3, spanDriftPercent: 3 }
const stated: Readonly<Partial<Record<Species, Stated>>> = {
  O2: {
    resolution: 0.1,
    calibrationGasPercent: 1,
    linearity: 0.2,
    linearityPercent: 0,
    zeroDrift: 0.2,
    spanDriftPercent: 1,
  },
  CO2: {
    resolution: 0.1,
    calibrationGasPercent: 2,
    linearity: 0.2,
    linearityPercent: 2,
    zeroDrift: 0.2,
    spanDriftPercent: 2,
  },
  H2O: {
    resolution: 0.1,
    calibrationGasPercent: 20,
    linearity: 0,
    linearityPercent: 0,
    zeroDrift: 0.2,
    spanDriftPercent: 2,
  },
  NO2: { ...stickingGas, zeroDrift: 1 },
  SO2: stickingGas,
  H2S: stickingGas,
  NH3: { ...stickingGas, calibrationGasPercent: 5 },
  HCl: { ...stickingGas, calibrationGasPercent: 5 },
}

/**
 * Half-widths of what electrochemical cells may still read of another gas, ppm per ppm, where nothing corrects for it: the
 * size in cells' data sheets, from memory, our choice. The best known is sulphur dioxide, whose cell reads nitrogen dioxide
 * backwards and nearly one to one. Hydrogen on CO is not here: it is rarely measured, so nothing can be said (docs/uncertainty.md).
 */
const crossFactors: Readonly<Partial<Record<Species, Readonly<Partial<Record<Species, number>>>>>> = {
  CO: { NO: 0.02, NO2: 0.02, SO2: 0.02, H2: 0.5, H2S: 0.05 },
  NO: { NO2: 0.05, SO2: 0.02 },
  NO2: { SO2: 0.02, NO: 0.02 },
  SO2: { NO2: 1, NO: 0.03, CO: 0.02, H2S: 0.2 },
  H2S: { SO2: 0.2, CO: 0.02, NO2: 0.2 },
}

/** What is left of a cross-sensitivity that was solved for, share: cells of one kind differ by so much. Our choice. */
const residualOfSolved = 0.25
const dryGasWaterPercent = 1 // saturated at 7 degC: what a cooler of 2 to 7 degC leaves at most
const inPercent: ReadonlySet<Species> = new Set(['O2', 'CO2', 'H2O'])

/** What one ppm (of oxygen, carbon dioxide, water: one vol%) is in the channel's unit; 1 where that cannot be told. */
function oneIn(station: StationFile, { species, unit }: ChannelSettings): number {
  if (!species) return 1
  const from: Unit = inPercent.has(species) ? 'vol%' : 'ppm'
  const gas = {
    molarMass: species in speciesTable ? statedMolarMass(species, station.conversions.noxAs) : Number.NaN,
    conditions: conditionsOf(station),
  }
  return unitFactor(from, unit, gas) ?? 1
}

/** The papers of channel `index`: the station file's word, else the species'. A channel of humidity stands as water. `isRaw`: of its readings before other gases are taken out of them. */
export function papersOf(station: StationFile, index: number, isRaw: boolean): Papers {
  const channel = station.channels[index] as ChannelSettings
  const said = channel.uncertainty ?? {}
  const species = channel.species ?? (channel.quantity === 'humidity' ? 'H2O' : undefined)
  const by = (species && stated[species]) ?? combustionGas
  const one = oneIn(station, channel)
  const share = (percent: number): number => percent / 100
  return {
    resolution: said.resolution ?? (channel.decimals === undefined ? by.resolution * one : 10 ** -channel.decimals),
    calibrationGas: share(said.calibrationGasPercent ?? by.calibrationGasPercent) / 2,
    linearity: said.linearity ?? by.linearity * one,
    linearityShare: share(said.linearityPercent ?? by.linearityPercent),
    zeroDriftOfDay: said.zeroDrift ?? by.zeroDrift * one,
    spanDriftShare: share(said.spanDriftPercent ?? by.spanDriftPercent),
    residualWater:
      channel.basis === 'dry' && channel.species ? share(said.residualWaterPercent ?? dryGasWaterPercent) : 0,
    crossSensitivity: crossOf(station, index, isRaw),
  }
}

function crossOf(station: StationFile, index: number, isRaw: boolean): CrossSensitivity[] {
  const channel = station.channels[index] as ChannelSettings
  const said = channel.uncertainty?.crossSensitivity ?? {}
  return station.channels.flatMap((other, place): CrossSensitivity[] => {
    if (place === index || !other.species || other.sumOf || other.stream !== channel.stream) return []
    const own = said[other.id]
    if (own !== undefined) return own > 0 ? [{ channel: place, factor: own }] : []
    const solved = station.corrections.crossSensitivity[channel.id]?.by[other.id]
    if (solved !== undefined && solved !== 0)
      return [{ channel: place, factor: (isRaw ? 1 : residualOfSolved) * Math.abs(solved) }]
    const usual = channel.species && crossFactors[channel.species]?.[other.species]
    return usual ? [{ channel: place, factor: (usual * oneIn(station, channel)) / oneIn(station, other) }] : []
  })
}
