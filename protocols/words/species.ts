/** The gases that a channel can carry. Molar masses in g/mol: IUPAC standard atomic weights, as rounded in 40 CFR 1065.1005 and common tables. */
export const speciesTable = {
  O2: { name: 'oxygen', formula: 'O₂', molarMassGramPerMol: 31.998 },
  CO2: { name: 'carbon dioxide', formula: 'CO₂', molarMassGramPerMol: 44.0095 },
  CO: { name: 'carbon monoxide', formula: 'CO', molarMassGramPerMol: 28.01 },
  NO: { name: 'nitric oxide', formula: 'NO', molarMassGramPerMol: 30.006 },
  NO2: { name: 'nitrogen dioxide', formula: 'NO₂', molarMassGramPerMol: 46.0055 },
  /** Limits state NOx as NO2 (EN 14792, scope; 40 CFR 60 App. A-4, Method 7E), hence the molar mass of NO2. */
  NOx: { name: 'nitrogen oxides', formula: 'NOₓ', molarMassGramPerMol: 46.0055 },
  SO2: { name: 'sulphur dioxide', formula: 'SO₂', molarMassGramPerMol: 64.064 },
  H2S: { name: 'hydrogen sulphide', formula: 'H₂S', molarMassGramPerMol: 34.081 },
  NH3: { name: 'ammonia', formula: 'NH₃', molarMassGramPerMol: 17.0305 },
  HCl: { name: 'hydrogen chloride', formula: 'HCl', molarMassGramPerMol: 36.461 },
  H2: { name: 'hydrogen', formula: 'H₂', molarMassGramPerMol: 2.01588 },
  CH4: { name: 'methane', formula: 'CH₄', molarMassGramPerMol: 16.0425 },
  /** Hydrocarbons reported as methane unless the permit says otherwise (common practice, no source). */
  CxHy: { name: 'hydrocarbons', formula: 'CₓHᵧ', molarMassGramPerMol: 16.0425 },
  H2O: { name: 'water vapour', formula: 'H₂O', molarMassGramPerMol: 18.0153 },
} as const

export type Species = keyof typeof speciesTable
export const species = Object.keys(speciesTable) as [Species, ...Species[]]
export const speciesName = (of: Species): string => `${speciesTable[of].formula} ${speciesTable[of].name}`

/** Gases that a burner makes or that a cell reads: zero in clean air. Oxygen and carbon dioxide are not (docs/calculations.md). */
export const combustionGases: ReadonlySet<Species> = new Set([
  'CO',
  'NO',
  'NO2',
  'NOx',
  'SO2',
  'H2S',
  'NH3',
  'HCl',
  'H2',
  'CH4',
  'CxHy',
])
