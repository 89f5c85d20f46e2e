import type { Unit } from '../../words/units.ts'

/** Ways to write units, without blanks, in lower case, ³ as 3, µ as u, ° left out. */
const spellings: Readonly<Record<string, Unit>> = {
  'vol%': 'vol%',
  '%vol': 'vol%',
  'vol.%': 'vol%',
  '%v/v': 'vol%',
  'vol-%': 'vol%',
  'vol.-%': 'vol%',
  volpct: 'vol%',
  pctvol: 'vol%',
  ppm: 'ppm',
  ppmv: 'ppm',
  ppmd: 'ppm',
  ppmw: 'ppm',
  ppmvd: 'ppm',
  ppmvw: 'ppm',
  'umol/mol': 'ppm',
  ppb: 'ppb',
  ppbv: 'ppb',
  'mg/m3': 'mg/m3',
  'mg/nm3': 'mg/m3',
  mgm3: 'mg/m3',
  mgnm3: 'mg/m3',
  'ug/m3': 'ug/m3',
  'g/m3': 'g/m3',
  c: 'degC',
  degc: 'degC',
  celsius: 'degC',
  f: 'degF',
  degf: 'degF',
  k: 'K',
  kelvin: 'K',
  pa: 'Pa',
  hpa: 'hPa',
  kpa: 'kPa',
  mbar: 'mbar',
  bar: 'bar',
  mmhg: 'mmHg',
  inhg: 'inHg',
  mmh2o: 'mmH2O',
  inh2o: 'inH2O',
  inwc: 'inH2O',
  mmwc: 'mmH2O',
  mmws: 'mmH2O',
  'l/min': 'L/min',
  lpm: 'L/min',
  'm3/h': 'm3/h',
  'm3/s': 'm3/s',
  'kg/s': 'kg/s',
  'kg/h': 'kg/h',
  cfm: 'ft3/min',
  'ft3/min': 'ft3/min',
  'm/s': 'm/s',
  'ft/s': 'ft/s',
  '%rh': '%RH',
  'rh%': '%RH',
  '%r.h.': '%RH',
  v: 'V',
  mv: 'mV',
  kw: 'kW',
  mw: 'MW',
  g: 'g',
  kg: 'kg',
  mm: 'mm',
  ml: 'mL',
}

/** A unit’s text in any of its spellings; `%` alone where what it is a percentage of must come from the name. Null: no unit of ours. */
export function unitOf(text: string): Unit | '%' | null {
  const plain = text
    .trim()
    .toLowerCase()
    .replaceAll('³', '3')
    .replaceAll('^', '')
    .replace(/[µμ]/g, 'u')
    .replace(/[°º\s_\u{fffd}]/gu, '')
  // MW and mW differ by their case alone; a milliwatt stands in no flue-gas line.
  if (plain === '%' || plain === 'pct' || plain === 'percent') return '%'
  return Object.hasOwn(spellings, plain) ? (spellings[plain] as Unit) : null
}

/** Whether the unit itself says dry or wet, as ppmvd does. */
export const basisOfUnit = (text: string): 'dry' | 'wet' | null =>
  /^(?:ppm(?:v)?d)$/i.test(text.trim()) ? 'dry' : /^(?:ppm(?:v)?w)$/i.test(text.trim()) ? 'wet' : null

/** A heading with the unit taken out: `CO [ppm]`, `T Duct (K)`, `Flow kg/s`, `co_ppm`. `unitText` is null where none stands in it. */
export function splitLabel(label: string): { readonly head: string; readonly unitText: string | null } {
  const trimmed = label.trim()
  const open = trimmed.search(/[([]/)
  if (open > 0) {
    const inside = trimmed.slice(open + 1).replace(/[)\]].*$/, '')
    return { head: trimmed.slice(0, open).trim(), unitText: inside.trim() }
  }
  const parts = trimmed.split(/[\s_]+/)
  for (const count of [2, 1]) {
    if (parts.length <= count) continue
    const text = parts.slice(-count).join('')
    // A single letter is more often a name than a unit; behind the name of a temperature or a mass it is one.
    const isLetter = /^[a-z]$/i.test(text) && !/^(?:t|temp\w*|mass)$/i.test(parts[0] ?? '')
    if (!isLetter && unitOf(text) !== null) return { head: parts.slice(0, -count).join(' '), unitText: text }
  }
  return { head: trimmed, unitText: null }
}
