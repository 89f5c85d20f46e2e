import type { ChannelInfo, LimitInfo } from '../../../protocols/live/messages.ts'
import type { Phase } from '../../../protocols/words/phases.ts'

/**
 * An invented night for the screens: values as a pure function of time, in whole seconds.
 * It shows what a page must cope with (purges, a gap, a spike, a cell over range); it is no model of a burner.
 */
export const minute = 60_000
export const hour = 60 * minute
export const nightStart = Date.parse('2026-11-24T18:06:00Z')
export const stepMs = 1000
export const ambientOxygen = 20.95
export const referenceOxygen = 3

/** The instrument link was down here: no line at all. */
export const gap = { startMs: Date.parse('2026-11-25T00:47:00Z'), endMs: Date.parse('2026-11-25T00:56:30Z') }

const gas = { stream: 'main', quantity: null, basis: 'dry', selfZeroing: false, supporting: false } as const
const support = {
  stream: 'main',
  species: null,
  basis: null,
  origin: 'measured',
  selfZeroing: false,
  referred: null,
  t95Seconds: 5,
} as const
const referred = { unit: 'mg/m3', referenceOxygen, decimals: 0 } as const
export const channels: ChannelInfo[] = [
  {
    ...gas,
    id: 'o2',
    name: 'O₂',
    species: 'O2',
    unit: 'vol%',
    origin: 'measured',
    decimals: 2,
    range: [0, 25],
    t95Seconds: 25,
    referred: null,
  },
  {
    ...gas,
    id: 'nox',
    name: 'NOₓ',
    species: 'NOx',
    unit: 'ppm',
    origin: 'computed',
    decimals: 0,
    range: null,
    t95Seconds: 40,
    referred,
  },
  {
    ...gas,
    id: 'co',
    name: 'CO',
    species: 'CO',
    unit: 'ppm',
    origin: 'measured',
    decimals: 0,
    range: [0, 4000],
    t95Seconds: 40,
    referred,
  },
  {
    ...gas,
    id: 'so2',
    name: 'SO₂',
    species: 'SO2',
    unit: 'ppm',
    origin: 'measured',
    decimals: 1,
    range: [0, 500],
    t95Seconds: 60,
    referred: { ...referred, decimals: 1 },
  },
  {
    ...gas,
    id: 'co2',
    name: 'CO₂',
    species: 'CO2',
    unit: 'vol%',
    origin: 'computed',
    decimals: 2,
    range: [0, 20],
    t95Seconds: 25,
    referred: null,
  },
  {
    ...support,
    id: 'gas-temperature',
    name: 'Flue gas',
    quantity: 'temperature',
    unit: 'degC',
    decimals: 0,
    range: [0, 600],
    supporting: false,
  },
  {
    ...support,
    id: 'sample-flow',
    name: 'Sample flow',
    quantity: 'flow',
    unit: 'L/min',
    decimals: 2,
    range: [0, 3],
    supporting: true,
  },
  {
    ...support,
    id: 'cooler',
    name: 'Cooler outlet',
    quantity: 'temperature',
    unit: 'degC',
    decimals: 1,
    range: [-5, 60],
    supporting: true,
  },
  {
    ...support,
    id: 'cell-temperature',
    name: 'Cell block',
    quantity: 'temperature',
    unit: 'degC',
    decimals: 1,
    range: [0, 60],
    supporting: true,
  },
]

const limit = {
  of: 'block',
  kind: 'high',
  unit: 'mg/m3',
  referenceOxygen,
  basis: 'dry',
  quantity: 'at_reference_oxygen',
} as const
export const limits: LimitInfo[] = [
  { ...limit, id: 'nox-30m', channel: 'nox', average: 'PT30M', value: 200 },
  { ...limit, id: 'co-30m', channel: 'co', average: 'PT30M', value: 100 },
]

/** A repeatable share 0…1 of a number: noise that is the same at each request. */
export function hashed(value: number): number {
  let mixed = Math.imul(Math.floor(value) ^ 0x9e3779b9, 0x85ebca6b)
  mixed = Math.imul(mixed ^ (mixed >>> 13), 0xc2b2ae35)
  return ((mixed ^ (mixed >>> 16)) >>> 0) / 4_294_967_296
}
const noise = (atMs: number, salt: number) =>
  hashed(atMs / 1000 + salt * 7919) + hashed(atMs / 1000 + salt * 104_729) - 1
const wave = (atMs: number, periodMinutes: number, shift = 0) =>
  Math.sin((2 * Math.PI * atMs) / (periodMinutes * minute) + shift)

const cycleMs = 55 * minute
const purgeMs = 5 * minute
const settleMs = 2 * minute
/** The cycle counts from the start of the night and begins with measuring. */
export function phaseAt(atMs: number): { phase: Phase; sinceMs: number; untilMs: number } {
  const begin = nightStart + Math.floor((atMs - nightStart) / cycleMs) * cycleMs
  const into = atMs - begin
  const measured = cycleMs - purgeMs - settleMs
  if (into < measured) return { phase: 'measure', sinceMs: begin, untilMs: begin + measured }
  if (into < measured + purgeMs)
    return { phase: 'purge', sinceMs: begin + measured, untilMs: begin + measured + purgeMs }
  return { phase: 'settle', sinceMs: begin + measured + purgeMs, untilMs: begin + cycleMs }
}

/** How much of what the cells see is flue gas: 1 in measuring, falling and rising with their response. */
function gasShare(atMs: number): number {
  const { phase, sinceMs } = phaseAt(atMs)
  const seconds = (atMs - sinceMs) / 1000
  if (phase === 'purge') return Math.exp(-seconds / 14)
  if (phase === 'settle') return 1 - Math.exp(-seconds / 20)
  return 1
}

export const hasLine = (atMs: number): boolean => atMs < gap.startMs || atMs >= gap.endMs

const flueOxygen = (atMs: number) => 4.3 + 0.5 * wave(atMs, 170) + 0.25 * wave(atMs, 23, 1) + 0.06 * noise(atMs, 1)
const atReference = (ppm: number, molarMass: number, oxygen: number): number | null =>
  oxygen > 19 ? null : ((ppm * molarMass) / 22.414) * ((ambientOxygen - referenceOxygen) / (ambientOxygen - oxygen))

export interface InventedValue {
  asRead: number | null
  corrected: number | null
  referred: number | null
  flag: number
}

/** Values of all channels at a time, unrounded; null where there is no line. */
export function valuesAt(atMs: number): Record<string, InventedValue> | null {
  if (!hasLine(atMs)) return null
  const share = gasShare(atMs)
  const { phase } = phaseAt(atMs)
  const flag = phase === 'measure' ? 0 : phase === 'settle' ? 8 : 7
  const oxygen = ambientOxygen + (flueOxygen(atMs) - ambientOxygen) * share
  const burst = Math.max(0, wave(atMs, 97, 2)) ** 24
  const ppm = {
    nox: (84 + 9 * wave(atMs, 210, 0.6) + 4 * wave(atMs, 31) + 1.6 * noise(atMs, 2)) * share,
    co: (22 + 8 * wave(atMs, 61) + 240 * burst + 2.2 * noise(atMs, 3)) * share,
    so2: (7 + 1.5 * wave(atMs, 240) + 0.4 * noise(atMs, 4)) * share - 0.2,
  }
  const plain = (value: number, counts = flag): InventedValue => ({
    asRead: value,
    corrected: value,
    referred: null,
    flag: counts,
  })
  const referredGas = (value: number, molarMass: number): InventedValue => ({
    asRead: value + 0.8,
    corrected: value,
    referred: atReference(value, molarMass, oxygen),
    flag,
  })
  return {
    o2: plain(oxygen),
    co2: plain(Math.max(0, ((ambientOxygen - oxygen) / ambientOxygen) * 11.9)),
    nox: referredGas(ppm.nox, 46.0055),
    co: referredGas(ppm.co, 28.01),
    so2: referredGas(ppm.so2, 64.064),
    'gas-temperature': plain(168 + 11 * wave(atMs, 130) + 0.6 * noise(atMs, 5)),
    'sample-flow': plain(1.21 + 0.02 * noise(atMs, 6)),
    cooler: plain(4.1 + 0.15 * wave(atMs, 12) + 0.05 * noise(atMs, 7), 0),
    'cell-temperature': plain(31 + 1.2 * wave(atMs, 600), 0),
  }
}
