/** A part of a file as it was written, not checked yet. */
type Raw = Readonly<Record<string, unknown>>

export const isRecord = (value: unknown): value is Raw =>
  typeof value === 'object' && value !== null && !Array.isArray(value)

/** What a regime presets, where the station file says nothing. `custom` presets nothing: the schema's own defaults hold. */
const presets: Readonly<Record<string, Raw>> = {
  // Directives 2010/75/EU and (EU) 2015/2193: half-hour means, 273.15 K, mg/m3, 21 % O2 in air; two thirds: EN 17255-1 (from memory).
  eu: {
    station: { standardTime: false },
    conversions: { normal: { temperatureK: 273.15, pressurekPa: 101.325 }, ambientOxygen: 21, referredUnit: 'mg/m3' },
    averaging: { blocks: ['PT30M'], validity: { rule: 'fraction', minimum: '2/3' } },
  },
  // 40 CFR 60.13(h): hours by quadrants; standard time all year; 293.15 K (68 °F); ppm at 20.9 % O2 in air (40 CFR 60.4213).
  us: {
    station: { standardTime: true },
    conversions: { normal: { temperatureK: 293.15, pressurekPa: 101.325 }, ambientOxygen: 20.9, referredUnit: 'ppm' },
    averaging: { blocks: ['PT1H'], validity: { rule: 'quadrants', purgeIsQualityAssurance: false } },
  },
}

/** The file with its regime's presets filled in. What the file says is never touched; what is no station file comes back as it was. */
export function applyRegime(raw: unknown): unknown {
  if (!isRecord(raw)) return raw
  const preset = typeof raw.regime === 'string' && Object.hasOwn(presets, raw.regime) ? presets[raw.regime] : undefined
  return preset ? filled(raw, preset) : raw
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
