import type { Basis, PhysicalQuantity } from '../../words/quantities.ts'
import type { Species } from '../../words/species.ts'
import { gasUnits, physicalUnits, type Unit } from '../../words/units.ts'
import type { Meaning } from './proposal.ts'
import { basisOfUnit, splitLabel, unitOf } from './unit-words.ts'

/** Names of gases as headings and keys have them, in lower case. */
const gasWords: Readonly<Record<string, Species>> = {
  o2: 'O2',
  oxygen: 'O2',
  sauerstoff: 'O2',
  co: 'CO',
  'carbon monoxide': 'CO',
  kohlenmonoxid: 'CO',
  co2: 'CO2',
  'carbon dioxide': 'CO2',
  kohlendioxid: 'CO2',
  no: 'NO',
  'nitric oxide': 'NO',
  no2: 'NO2',
  'nitrogen dioxide': 'NO2',
  nox: 'NOx',
  'nitrogen oxides': 'NOx',
  so2: 'SO2',
  'sulphur dioxide': 'SO2',
  'sulfur dioxide': 'SO2',
  schwefeldioxid: 'SO2',
  h2s: 'H2S',
  nh3: 'NH3',
  ammonia: 'NH3',
  hcl: 'HCl',
  h2: 'H2',
  hydrogen: 'H2',
  ch4: 'CH4',
  methane: 'CH4',
  cxhy: 'CxHy',
  hc: 'CxHy',
  thc: 'CxHy',
  hydrocarbons: 'CxHy',
  h2o: 'H2O',
  'water vapour': 'H2O',
}
const quantityWords: readonly { readonly quantity: PhysicalQuantity; readonly looks: RegExp }[] = [
  {
    quantity: 'temperature',
    looks: /^(?:t|temp\w*|t(?:gas|cell|cells|cool|cooler|flue|exh|exhaust|duct|amb|air|stack|probe))$/,
  },
  { quantity: 'pressure', looks: /^(?:press\w*|dp|draft|draught|baro\w*|druck|pduct|pbaro|pamb)$/ },
  { quantity: 'flow', looks: /^(?:\w{0,8}flow|fluss|durchfluss|mfr)$/ },
  { quantity: 'velocity', looks: /^(?:velocity|speed)$/ },
  { quantity: 'humidity', looks: /^(?:rh|hum\w*|moisture|feuchte)$/ },
  { quantity: 'level', looks: /^(?:level|trap|condensate)$/ },
  { quantity: 'voltage', looks: /^(?:volt\w*|batt\w*|ubatt)$/ },
  { quantity: 'power', looks: /^(?:power|load|leistung)$/ },
  { quantity: 'mass', looks: /^mass$/ },
]
/** Behind the name of a gas these say that it is no concentration, or one that was worked on. */
const notConcentration = /^(?:rate|mass|cell|raw|sensor|signal|flg|flag|limit|mv|lbs?|tons?|emission|total|sum)$/
const basisWords: Readonly<Record<string, Basis>> = { dry: 'dry', trocken: 'dry', wet: 'wet', feucht: 'wet' }
/** Words that may stand beside the name of a gas or a quantity without making it another thing. */
const neutralWords =
  /^(?:gas|gases|flue|stack|exhaust|duct|outlet|inlet|sample|cell|cooler|air|ambient|conc|value|mean|avg|vol|fr|dry|wet|trocken|feucht|\d)$/
const computedWords = /^(?:calc\w*|comput\w*|ber|berechnet|corr|corrected|ref|referred|norm)$/

export interface LabelMeaning {
  readonly meaning: Meaning | null
  readonly unit: Unit | null
  readonly basis: Basis | null
  readonly isComputed: boolean
  readonly confidence: number
  readonly reason: string
  /** A unit that stands there and is none of ours. */
  readonly strangeUnit: string | null
}

const wordsOf = (head: string): string[] =>
  head
    .toLowerCase()
    .replace(/[₀-₉]/g, (digit) => String.fromCharCode(digit.charCodeAt(0) - 0x2080 + 48))
    .replaceAll('ₓ', 'x')
    .split(/[^\p{L}\p{N}]+/u)
    .filter((word) => word !== '')

/** The gas that one or two neighbouring words name. */
function gasIn(words: readonly string[]): Species | null {
  for (let at = 0; at < words.length; at++)
    for (const name of [`${words[at]} ${words[at + 1] ?? ''}`.trim(), words[at] ?? ''])
      if (Object.hasOwn(gasWords, name)) return gasWords[name] as Species
  return null
}

const isNaming = (word: string): boolean =>
  Object.keys(gasWords).some((name) => name.split(' ').includes(word)) ||
  quantityWords.some(({ looks }) => looks.test(word)) ||
  computedWords.test(word)

const quantityIn = (words: readonly string[]): PhysicalQuantity | null =>
  quantityWords.find(({ looks }) => words.some((word) => looks.test(word)))?.quantity ?? null

/** The one quantity that is stated in this unit; null where several are, or gases too. */
function quantityOfUnit(unit: Unit): PhysicalQuantity | null {
  if ((gasUnits as readonly string[]).includes(unit)) return null
  const found = Object.entries(physicalUnits).filter(([, list]) => (list as readonly string[]).includes(unit))
  return found.length === 1 ? ((found[0]?.[0] ?? null) as PhysicalQuantity | null) : null
}

function fittingUnit(meaning: Meaning, told: Unit | '%' | null): Unit | null {
  if (told === null) return null
  const allowed: readonly string[] = meaning.species ? gasUnits : physicalUnits[meaning.quantity]
  const asked =
    told === '%' && meaning.species ? 'vol%' : told === '%' && meaning.quantity === 'humidity' ? '%RH' : told
  return allowed.includes(asked) ? (asked as Unit) : null
}

/** What a column’s name and unit say. `unitLabel`: from a row of units or behind the numbers; goes before a unit in the name. */
export function labelMeaning(label: string, unitLabel: string): LabelMeaning {
  const { head, unitText } = splitLabel(label)
  const told = unitLabel.trim() !== '' && unitOf(unitLabel) !== null ? unitLabel : (unitText ?? unitLabel)
  const unit = unitOf(told)
  const words = wordsOf(head)
  const gas = gasIn(words)
  const none = {
    meaning: null,
    unit: unit === '%' ? null : unit,
    basis: null,
    isComputed: false,
    confidence: 0,
    strangeUnit: told.trim() !== '' && unit === null ? told.trim() : null,
  }
  if (gas !== null && words.some((word) => notConcentration.test(word)))
    return { ...none, unit: null, reason: `names ${gas}, but the rest of it is no concentration` }
  const isGasUnit = unit === null || unit === '%' || (gasUnits as readonly string[]).includes(unit)
  if (gas !== null && !isGasUnit)
    return {
      ...none,
      reason: `names ${gas} in ${told}, which is no unit of a concentration: perhaps a cell’s own signal`,
    }
  const quantity = gas === null ? quantityIn(words) : null
  const byUnit = gas === null && quantity === null && unit !== null && unit !== '%' ? quantityOfUnit(unit) : null
  const meaning: Meaning | null = gas
    ? { species: gas }
    : (quantity ?? byUnit)
      ? { quantity: (quantity ?? byUnit) as PhysicalQuantity }
      : null
  if (meaning === null)
    return { ...none, reason: label.trim() === '' ? 'the lines do not name it' : 'the name says nothing that is known' }
  const fits = fittingUnit(meaning, unit)
  const strange = words.filter((word) => !neutralWords.test(word) && !isNaming(word) && basisWords[word] === undefined)
  const isClear = strange.length === 0
  const basis = words.map((word) => basisWords[word]).find((found) => found !== undefined) ?? basisOfUnit(told)
  return {
    meaning,
    unit: fits,
    basis,
    isComputed: words.some((word) => computedWords.test(word)),
    confidence: byUnit ? 0.6 : isClear ? 0.95 : 0.5,
    reason: byUnit
      ? `only a ${byUnit} is stated in ${told}`
      : isClear
        ? `the name ${fits ? 'and unit say' : 'says'} so`
        : 'a part of the name says so; the rest is not known',
    strangeUnit: fits === null && told.trim() !== '' ? told.trim() : null,
  }
}
