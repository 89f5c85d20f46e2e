import { mgPerM3PerUnit, ppmPerUnit } from '../../../protocols/words/units.ts'
import { finiteOrNaN } from '../valid-value.ts'

/** What one unit is in the base of its kind: value · scale + offset. */
type Measure = readonly [scale: number, offset?: number]

const cubicFoot = 0.028316846592 // m3; international foot of 0.3048 m
const pound = 0.45359237 // kg
const millionBtu = 1.05505585262e9 // J; International Table
const horsepowerHour = 0.7456998715822702 // kWh; mechanical horsepower
const perHeat = millionBtu / pound / 1e12 // lb/MMBtu of one ng/J
const perScf = cubicFoot / pound / 1e12 // lb/scf of one ng/m3
const dryPerHeat = millionBtu / cubicFoot // ft3/MMBtu of one m3/J

/**
 * Units by kind; within a kind all can be turned into each other. Sources: SI Brochure, 9th edition; NIST SP 811, Appendix
 * B, for mmHg, inHg (0 degC), mmH2O and inH2O (4 degC, conventional), pound, foot, Btu (International Table).
 */
const kinds = {
  plain: { '1': [1] },
  'per cent': { '%': [1], '1': [100] },
  'share of volume': {
    'vol%': [1],
    '%': [1],
    ppm: [1 / 10_000],
    ppb: [1 / 10_000_000],
    'mol/mol': [100],
    'mmol/mol': [0.1],
    'umol/mol': [1 / 10_000],
  },
  'share of mass': { 'wt%': [0.01], '%': [0.01], 'kg/kg': [1], 'lb/lb': [1], 'g/g': [1], 'g/kg': [0.001] },
  'mass concentration': {
    'mg/m3': [1],
    'ug/m3': [0.001],
    'g/m3': [1000],
    'lb/ft3': [1 / (perScf * 1e6)],
  },
  temperature: { K: [1], degC: [1, 273.15], degF: [5 / 9, (459.67 * 5) / 9], degR: [5 / 9] },
  pressure: {
    kPa: [1],
    Pa: [0.001],
    hPa: [0.1],
    mbar: [0.1],
    bar: [100],
    atm: [101.325],
    psi: [6.894757293168361],
    mmHg: [0.133322387415],
    inHg: [3.386388640341],
    mmH2O: [0.00980665],
    inH2O: [0.24908891],
  },
  'root of pressure': {
    'mmH2O^0.5': [1],
    'inH2O^0.5': [Math.sqrt(25.4)],
    'Pa^0.5': [Math.sqrt(1 / 9.80665)],
  },
  length: { m: [1], cm: [0.01], mm: [0.001], ft: [0.3048], in: [0.0254] },
  area: { m2: [1], ft2: [0.3048 ** 2] },
  volume: { m3: [1], L: [0.001], mL: [1e-6], ft3: [cubicFoot] },
  mass: { kg: [1], g: [0.001], lb: [pound] },
  time: { s: [1], min: [60], h: [3600] },
  velocity: { 'm/s': [1], 'ft/s': [0.3048], 'ft/min': [0.3048 / 60] },
  'volume flow': {
    'm3/h': [1],
    'm3/s': [3600],
    'm3/min': [60],
    'L/min': [0.06],
    'ft3/h': [cubicFoot],
    'ft3/min': [60 * cubicFoot],
  },
  'mass rate': { 'kg/h': [1], 'g/h': [0.001], 'g/s': [3.6], 'kg/s': [3600], 'lb/h': [pound] },
  'molar mass': { 'g/mol': [1], 'kg/kmol': [1], 'lb/lb-mol': [1] },
  'molar heat': { 'J/(mol K)': [1] },
  'volume per mass': { 'm3/kg': [1], 'ft3/lb': [cubicFoot / pound] },
  'heating value': { 'MJ/kg': [1000], 'kJ/kg': [1], 'kcal/kg': [4.1868], 'Btu/lb': [2.326] },
  'heat capacity': { 'kJ/(kg K)': [1], 'kcal/(kg K)': [4.1868], 'Btu/(lb degF)': [4.1868] },
  output: { MW: [1], kW: [0.001], hp: [horsepowerHour / 1000] },
  'heat input': { 'MMBtu/h': [1], MW: [3.6e9 / millionBtu], kW: [3.6e6 / millionBtu], 'GJ/h': [1e9 / millionBtu] },
  work: { 'hp h': [1], kWh: [1 / horsepowerHour], MWh: [1000 / horsepowerHour] },
  'mass per work': {
    'g/(hp h)': [1],
    'g/kWh': [horsepowerHour],
    'lb/MWh': [pound * horsepowerHour],
    'kg/MWh': [horsepowerHour],
  },
  'mass per heat': {
    'lb/MMBtu': [1],
    'ng/J': [perHeat],
    'g/GJ': [perHeat],
    'mg/MJ': [perHeat],
    'kg/GJ': [1000 * perHeat],
  },
  'dry gas per heat': { 'dscf/MMBtu': [1], 'dscm/J': [dryPerHeat], 'dscm/GJ': [dryPerHeat / 1e9] },
  'wet gas per heat': { 'wscf/MMBtu': [1], 'wscm/J': [dryPerHeat], 'wscm/GJ': [dryPerHeat / 1e9] },
  'carbon dioxide per heat': { 'scf/MMBtu': [1], 'scm/J': [dryPerHeat], 'scm/GJ': [dryPerHeat / 1e9] },
  'mass concentration per ppm': {
    'lb/scf/ppm': [1],
    'ng/m3/ppm': [perScf],
    'mg/m3/ppm': [perScf * 1e6],
    'g/m3/ppm': [perScf * 1e9],
  },
} as const satisfies Record<string, Record<string, Measure>>

type Kinds = typeof kinds
/** Every unit that a number of a calculation can have. */
export type MeasureUnit = { [K in keyof Kinds]: keyof Kinds[K] }[keyof Kinds] & string

/** Concentrations whose unit a calculation leaves open: a share of the volume, or a mass in it. */
export const concentrationUnits = ['ppm', 'vol%', 'ppb', 'mg/m3', 'ug/m3', 'g/m3'] as const
export type ConcentrationUnit = (typeof concentrationUnits)[number]

const tables = Object.values(kinds) as readonly Readonly<Record<string, Measure>>[]

/** What can stand in a unit's place, itself first. A unit of several kinds stands for the first that has it. */
export function unitsBeside(unit: string): readonly string[] {
  const table = tables.find((units) => Object.hasOwn(units, unit)) ?? {}
  return [unit, ...Object.keys(table).filter((other) => other !== unit)]
}

/** A value in another unit of the kind that has both; NaN where there is none. A unit into itself changes nothing. */
export function inUnit(value: number, from: string, to: string): number {
  if (from === to) return value
  const table = tables.find((units) => Object.hasOwn(units, to) && Object.hasOwn(units, from))
  const [scaleFrom = Number.NaN, offsetFrom = 0] = table?.[from] ?? []
  const [scaleTo = Number.NaN, offsetTo = 0] = table?.[to] ?? []
  return finiteOrNaN((value * scaleFrom + offsetFrom - offsetTo) / scaleTo)
}

/** The same between units of a concentration that a calculation leaves open; NaN between a share and a mass. */
export function betweenConcentrations(value: number, from: ConcentrationUnit, to: ConcentrationUnit): number {
  if (from === to) return value
  const [share, mass] = [
    [ppmPerUnit[from], ppmPerUnit[to]],
    [mgPerM3PerUnit[from], mgPerM3PerUnit[to]],
  ].map(([of = Number.NaN, into = Number.NaN]) => (value * of) / into)
  return Number.isNaN(share) ? (mass ?? Number.NaN) : (share ?? Number.NaN)
}

/** `mg/m³`, `°C`, `µg/m3` as people paste them → the ids above. */
export const unitId = (text: string): string =>
  text
    .trim()
    .replaceAll('³', '3')
    .replaceAll('²', '2')
    .replaceAll('₂', '2')
    .replace(/^°/, 'deg')
    .replace(/^[µμ]/u, 'u')
    .replaceAll('·', ' ')
