import { z } from 'zod'

/** Standard atomic weights, g/mol. Source: IUPAC, abridged values. */
const ATOMIC = { C: 12.011, H: 1.008, S: 32.06, N: 14.007, O: 15.999 }
const WATER = 2 * ATOMIC.H + ATOMIC.O

/** Mass fractions of the fuel as fired; what is missing to 1 is ash. */
const massFractions = z
  .strictObject({
    C: z.number().min(0).max(1),
    H: z.number().min(0).max(1),
    S: z.number().min(0).max(1).default(0),
    N: z.number().min(0).max(1).default(0),
    O: z.number().min(0).max(1).default(0),
    moisture: z.number().min(0).max(0.95).default(0),
  })
  .refine(
    (part) => part.C + part.H + part.S + part.N + part.O + part.moisture <= 1.000_001,
    'the mass fractions must not sum to more than 1',
  )
  .refine(
    (part) => part.C / ATOMIC.C + part.H / (4 * ATOMIC.H) > part.O / (2 * ATOMIC.O),
    'a fuel must need oxygen to burn',
  )

/** Gases that make up a fuel gas: atoms and, at 25 °C, the gross heat of combustion in kJ/mol (thermochemical tables, from memory; no inputs of the flue gas). */
const gases = {
  CH4: { C: 1, H: 4, N: 0, O: 0, grossKjPerMol: 890.6 },
  C2H6: { C: 2, H: 6, N: 0, O: 0, grossKjPerMol: 1560.7 },
  C3H8: { C: 3, H: 8, N: 0, O: 0, grossKjPerMol: 2219.2 },
  C4H10: { C: 4, H: 10, N: 0, O: 0, grossKjPerMol: 2877.4 },
  C5H12: { C: 5, H: 12, N: 0, O: 0, grossKjPerMol: 3535.8 },
  C6H14: { C: 6, H: 14, N: 0, O: 0, grossKjPerMol: 4194.9 },
  N2: { C: 0, H: 0, N: 2, O: 0, grossKjPerMol: 0 },
  CO2: { C: 1, H: 0, N: 0, O: 2, grossKjPerMol: 0 },
} as const

export interface Fuel {
  readonly name: string
  readonly source: string
  /** kmol of atoms (water: of molecules) in a kilogram of fuel as fired. */
  readonly kmolPerKg: {
    readonly C: number
    readonly H: number
    readonly S: number
    readonly N: number
    readonly O: number
    readonly water: number
  }
  /** MJ/kg as fired; null where none is known. It has no part in the flue gas. */
  readonly grossHeatingValue: number | null
}

function fromMass(
  name: string,
  part: z.output<typeof massFractions>,
  grossHeatingValue: number | null,
  source: string,
): Fuel {
  const { C, H, S, N, O } = ATOMIC
  return {
    name,
    source,
    grossHeatingValue,
    kmolPerKg: {
      C: part.C / C,
      H: part.H / H,
      S: part.S / S,
      N: part.N / N,
      O: part.O / O,
      water: part.moisture / WATER,
    },
  }
}

/** share: mole fractions in any common unit; they are brought to a sum of 1. */
function fromMoles(name: string, share: Partial<Record<keyof typeof gases, number>>, source: string): Fuel {
  const atoms = { C: 0, H: 0, N: 0, O: 0 }
  let heat = 0
  for (const [gas, moles] of Object.entries(share) as [keyof typeof gases, number][]) {
    const { grossKjPerMol, ...has } = gases[gas]
    for (const atom of ['C', 'H', 'N', 'O'] as const) atoms[atom] += moles * has[atom]
    heat += moles * grossKjPerMol
  }
  const grams = atoms.C * ATOMIC.C + atoms.H * ATOMIC.H + atoms.N * ATOMIC.N + atoms.O * ATOMIC.O
  return {
    name,
    source,
    grossHeatingValue: heat / grams,
    kmolPerKg: { C: atoms.C / grams, H: atoms.H / grams, S: 0, N: atoms.N / grams, O: atoms.O / grams, water: 0 },
  }
}

/** Typical compositions; what a scenario burns. */
export const fuels = {
  methane: fromMoles('methane', { CH4: 1 }, 'CH4'),
  'natural-gas': fromMoles(
    'natural gas',
    { CH4: 96.5222, C2H6: 1.8186, C3H8: 0.4596, C4H10: 0.1984, C5H12: 0.0797, C6H14: 0.0664, N2: 0.2595, CO2: 0.5956 },
    'AGA Report No. 8, reference composition “Gulf Coast”, mol%; isomers added up',
  ),
  propane: fromMoles('propane', { C3H8: 1 }, 'C3H8'),
  butane: fromMoles('butane', { C4H10: 1 }, 'C4H10'),
  'light-oil': fromMass(
    'light oil',
    { C: 0.8638, H: 0.1345, S: 0.0008, N: 0.0001, O: 0.0008, moisture: 0 },
    45.4,
    'typical extra-light heating oil with 0.08 % sulphur: C about 86.4, H about 13.5 % by mass, 45.4 MJ/kg gross (handbook values, from memory)',
  ),
  wood: fromMass(
    'wood',
    { C: 0.51 * 0.797, H: 0.063 * 0.797, S: 0.0002 * 0.797, N: 0.001 * 0.797, O: 0.42 * 0.797, moisture: 0.2 },
    20.5 * 0.797,
    'ISO 17225-1, typical values for coniferous stem wood, ash-free dry: C 51, H 6.3, O 42, N 0.1, S 0.02 %, 20.5 MJ/kg gross (from memory); with 20 % moisture and 0.3 % ash',
  ),
} as const satisfies Record<string, Fuel>

const ownFuel = z.strictObject({
  name: z.string().min(1).max(60),
  massFractions,
  source: z.string().max(300).default('of the scenario'),
})

const allowed = `one of ${Object.keys(fuels).join(', ')}, or { "name", "massFractions": { "C", "H", "S", "N", "O", "moisture" } }`

/** A fuel of the table by name, or a composition of one’s own. */
export const fuelSetting = z
  .union([z.enum(Object.keys(fuels) as [keyof typeof fuels, ...(keyof typeof fuels)[]]), ownFuel], allowed)
  .describe(allowed)

export const fuelOf = (setting: z.infer<typeof fuelSetting>): Fuel =>
  typeof setting === 'string' ? fuels[setting] : fromMass(setting.name, setting.massFractions, null, setting.source)
