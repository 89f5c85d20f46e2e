import type { PhysicalQuantity } from './quantities.ts'

declare const unit: unique symbol
/** A number that remembers its unit: a plain number or another unit does not fit. */
export type Quantity<U extends string> = number & { readonly [unit]: U }
export type Ppm = Quantity<'ppm'> // µmol/mol; the basis is the channel's
export type VolumePercent = Quantity<'vol%'>
export type MgPerM3 = Quantity<'mg/m3'> // at the conditions that stand beside it: a setting, never assumed
export type GramPerMol = Quantity<'g/mol'>
export type Kelvin = Quantity<'K'>
export type Kilopascal = Quantity<'kPa'>
/** A share, 0…1. */
export type Fraction = Quantity<'1'>
/** The only cast: used where text becomes a value and where a formula returns one. */
export const quantity = <Q extends Quantity<string>>(value: number): Q => value as Q

/** Units in which a gas can be stated. */
export const gasUnits = ['vol%', 'ppm', 'ppb', 'mg/m3', 'ug/m3', 'g/m3'] as const
export type GasUnit = (typeof gasUnits)[number]

/** How many ppm one unit of a volume fraction holds; a mass concentration has no entry. */
export const ppmPerUnit: Readonly<Partial<Record<Unit, number>>> = { 'vol%': 10_000, ppm: 1, ppb: 0.001 }
/** How many mg/m3 one unit of a mass concentration holds. */
export const mgPerM3PerUnit: Readonly<Partial<Record<Unit, number>>> = { 'mg/m3': 1, 'ug/m3': 0.001, 'g/m3': 1000 }

/** Units of what is not a gas: which fit which quantity. */
export const physicalUnits = {
  temperature: ['degC', 'degF', 'K'],
  pressure: ['Pa', 'hPa', 'kPa', 'mbar', 'bar', 'mmHg', 'inHg', 'mmH2O', 'inH2O'],
  flow: ['L/min', 'm3/h', 'm3/s', 'kg/s', 'kg/h', 'ft3/min'],
  velocity: ['m/s', 'ft/s'],
  humidity: ['vol%', '%RH', 'g/m3'],
  level: ['%', 'mm', 'mL'],
  voltage: ['V', 'mV'],
  power: ['kW', 'MW', '%'],
  mass: ['g', 'kg'],
  ratio: ['1', '%'],
} as const satisfies Record<PhysicalQuantity, readonly string[]>

export type Unit = GasUnit | (typeof physicalUnits)[PhysicalQuantity][number] | 'mg/m3' | 'kg/h'
/** Units whose sign alone does not tell them from another one. */
export const unitWords: Readonly<Partial<Record<Unit, string>>> = {
  '1': 'no unit: a ratio',
  'vol%': '% by volume',
  '%': '%, as of a level',
}
export const units = [...new Set<Unit>([...gasUnits, ...Object.values(physicalUnits).flat()])] as [Unit, ...Unit[]]

/** Unit ids as a reader expects them on a screen. */
export const unitText: Readonly<Partial<Record<Unit, string>>> = {
  'vol%': '%',
  'mg/m3': 'mg/m³',
  'ug/m3': 'µg/m³',
  'g/m3': 'g/m³',
  degC: '°C',
  degF: '°F',
  'm3/h': 'm³/h',
  'm3/s': 'm³/s',
  '%RH': '% RH',
  '1': '',
  mmH2O: 'mm H₂O',
  inH2O: 'in H₂O',
}

/** Further units of calculations; each is spelt as people type it. */
export type Celsius = Quantity<'degC'>
export type Metre = Quantity<'m'>
export type Percent = Quantity<'%'> // of what its name says
export type MassPercent = Quantity<'wt%'>
export type CubicMetrePerHour = Quantity<'m3/h'> // at the conditions that stand beside it
export type KilogramPerHour = Quantity<'kg/h'>
export type CubicMetrePerKilogram = Quantity<'m3/kg'> // at 273.15 K and 101.325 kPa
export type MegajoulePerKilogram = Quantity<'MJ/kg'>
export type LbPerMMBtu = Quantity<'lb/MMBtu'>
export type DscfPerMMBtu = Quantity<'dscf/MMBtu'> // dry, 68 degF and 29.92 inHg
export type WscfPerMMBtu = Quantity<'wscf/MMBtu'>
export type ScfPerMMBtu = Quantity<'scf/MMBtu'> // of carbon dioxide
export type LbPerScfPerPpm = Quantity<'lb/scf/ppm'>
