/** A part of a file as it was written, not checked yet. */
type Raw = Readonly<Record<string, unknown>>

export const isRecord = (value: unknown): value is Raw =>
  typeof value === 'object' && value !== null && !Array.isArray(value)

/**
 * What a regime presets, where the station file says nothing. `custom` presets nothing: the schema's own defaults hold.
 * Sources, and what neither presets: docs/regimes.md.
 */
const presets: Readonly<Record<string, Raw>> = {
  // Directives 2010/75/EU and (EU) 2015/2193: half-hour means, 273.15 K, mg/m3, 21 % O2 in air; two thirds: EN 17255-1 (from memory).
  // What a verdict makes of the uncertainty is not preset: periodic tests add it in one country and subtract it in another.
  eu: {
    station: { standardTime: false },
    conversions: {
      normal: { temperatureK: 273.15, pressurekPa: 101.325 },
      ambientOxygen: 21,
      referredUnit: 'mg/m3',
      applyTo: 'blocks',
      onlyAboveReference: false,
    },
    averaging: {
      blocks: ['PT30M'],
      align: 'clock',
      validity: { rule: 'fraction', minimum: '2/3' },
      run: { rule: 'fraction', minimum: '2/3' },
      // 2010/75/EU, Annex VI, Part 8, 1.2: a day is valid where no more than five half-hours were discarded.
      ofBlocks: [{ average: 'P1D', of: 'PT30M', window: 'fixed', hours: 'clock', valid: { atMostInvalid: 5 } }],
    },
    results: {
      label: 'both',
      rounding: { ties: 'half-away' },
      negative: 'as-is',
      belowDetection: 'as-read',
      comparison: 'absolute',
    },
    // EN 14792, EN 15058 (from memory): up to 2 % of the span gas nothing, up to 5 % correct linearly in time, beyond reject.
    corrections: { spanFrom: 'checks', drift: { limitPercent: 5, correctAbovePercent: 2, of: 'span-gas' } },
  },
  // 40 CFR 60.13(h): hours by quadrants; standard time all year; 293.15 K (68 °F); ppm at 20.9 % O2 in air (40 CFR 60.4213).
  // Runs of an hour: 40 CFR 63.7(e)(3); half to even and comparison by rounding: ASTM E29 (the latter from memory);
  // results below detection: EPA GD-51; results are compared without regard to uncertainty.
  us: {
    station: { standardTime: true },
    conversions: {
      normal: { temperatureK: 293.15, pressurekPa: 101.325 },
      ambientOxygen: 20.9,
      referredUnit: 'ppm',
      applyTo: 'blocks',
      onlyAboveReference: false,
    },
    averaging: {
      blocks: ['PT1H'],
      align: 'clock',
      validity: { rule: 'quadrants', purgeIsQualityAssurance: false },
      run: { rule: 'minutes', minimum: 60 },
    },
    results: {
      label: 'start',
      rounding: { ties: 'half-even' },
      negative: 'as-is',
      belowDetection: 'detection-limit',
      comparison: 'rounded',
      uncertainty: 'ignore',
    },
    // US EPA Method 7E (from memory): drift 3 %, bias 5 % of the calibration span, or 0.5 ppm; a run stands with a drift, not with a bias.
    corrections: {
      bias: 'run-means',
      drift: { limitPercent: 3, biasPercent: 5, of: 'span-gas', orWithin: 0.5, beyond: 'remark' },
    },
  },
}

/** Runs that a regime asks of a test; null where it names no number. Source: 40 CFR 60.8(f) (from memory), 63.7(e)(3): three. */
export const runsOfTest = (regime: string): number | null => (regime === 'us' ? 3 : null)

/** What a regime presets at a place such as `conversions.ambientOxygen`; undefined where it presets nothing there. */
export function presetAt(regime: string, path: readonly string[]): unknown {
  let at: unknown = Object.hasOwn(presets, regime) ? presets[regime] : undefined
  for (const key of path) at = isRecord(at) && Object.hasOwn(at, key) ? at[key] : undefined
  return at
}

/** The file with its regime's presets filled in. What the file says is never touched; what is no station file comes back as it was. */
export function applyRegime(raw: unknown): unknown {
  if (!isRecord(raw)) return raw
  const preset =
    typeof raw['regime'] === 'string' && Object.hasOwn(presets, raw['regime']) ? presets[raw['regime']] : undefined
  return preset ? filled(raw, withoutLostAverages(raw, asked(raw, preset))) : raw
}

/** Averages of blocks are preset only where their blocks are formed, and days only by the clock: the preset gives way to the file. */
function withoutLostAverages(raw: Raw, preset: Raw): Raw {
  const own = raw['averaging'] ?? {}
  const { averaging } = preset
  if (!isRecord(own) || !isRecord(averaging) || !Array.isArray(averaging['ofBlocks'])) return preset
  const blocks = own['blocks'] ?? averaging['blocks']
  const isFormed = averaging['ofBlocks'].every(
    ({ of }) => Array.isArray(blocks) && blocks.includes(of) && own['align'] !== 'run',
  )
  const { ofBlocks: _, ...rest } = averaging
  return isFormed ? preset : { ...preset, averaging: rest }
}

function isToldInLines({ profile }: Raw): boolean {
  const dilution = isRecord(profile) ? profile['dilution'] : undefined
  return isRecord(dilution) && dilution['state'] === 'not-in-the-values'
}

/** Means of runs are corrected by checks only where nothing else has moved the readings: the preset gives way to the file. */
function asked(raw: Raw, preset: Raw): Raw {
  const { corrections } = preset
  const own = raw['corrections'] ?? {}
  if (!isRecord(corrections) || !isRecord(own)) return preset
  const isDiluted =
    Array.isArray(raw['streams']) &&
    raw['streams'].some((stream) => isRecord(stream) && (stream['dilution'] !== undefined || isToldInLines(stream)))
  const isMoved =
    isDiluted || (own['zero'] ?? 'none') !== 'none' || own['span'] !== undefined || own['spanFrom'] === 'checks'
  const { bias: _, ...rest } = corrections
  return isMoved ? { ...preset, corrections: rest } : preset
}

/** `validity` is one choice: a rule that the file sets takes nothing from another rule's preset. */
function filled(raw: Raw, preset: Raw): Raw {
  const result: Record<string, unknown> = { ...raw }
  for (const [key, value] of Object.entries(preset)) {
    const own = raw[key]
    if (own === undefined) result[key] = value
    else if (isRecord(own) && isRecord(value) && (own.rule === undefined || own.rule === value.rule))
      result[key] = filled(own, value)
  }
  return result
}
