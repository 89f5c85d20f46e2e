/** A term of the trade as these screens use it, in a sentence, and where that comes from. */
export interface Term {
  readonly term: string
  readonly meaning: string
  readonly source: string
}

export const findTerm = 'Find a term'
export const termCount = (count: number): string => `${count} terms`
export const noTerm = (search: string): string => `No term fits “${search}”.`

const practice = 'common practice'
const ours = 'how this tool works; docs/calculations'

/** In the order in which someone meets them: what is read, what counts, what is formed, what is compared, what is proven. */
export const terms: readonly Term[] = [
  {
    term: 'Reading',
    meaning: 'What one line of the instrument says: a value for each channel, at one time.',
    source: ours,
  },
  {
    term: 'Channel',
    meaning: 'One gas or quantity of an instrument, with its unit, and dry or wet.',
    source: practice,
  },
  {
    term: 'Measured, computed',
    meaning:
      'Whether the instrument measured a value or worked it out from others (CO₂ from O₂, NOx from NO). What it computed is never corrected a second time.',
    source: ours,
  },
  {
    term: 'Response time t95',
    meaning: 'The time from a step of the gas until the reading has made 95 % of it.',
    source: 'EPA Method 7E, section 3; IUPAC R05346 defines it for 90 %',
  },
  {
    term: 'Measuring',
    meaning: 'The instrument draws flue gas and has settled: only now do readings count.',
    source: '40 CFR 60.13(h)(2)(vi)',
  },
  {
    term: 'Purge',
    meaning:
      'The instrument draws fresh air to protect its cells and to see its zero. Nothing of it enters an average. It proves the zero from where the air comes in, not the probe or the line before that.',
    source: '40 CFR 60.13(h)(2)(vi); portable methods of the CTM-034 family',
  },
  {
    term: 'Settling',
    meaning: 'After a purge each channel waits twice its t95, unless set otherwise, before it counts again.',
    source: 'EPA Method 7E, 8.4.1 (from memory)',
  },
  {
    term: 'Zero',
    meaning: 'What a channel shows in gas that holds none of what it measures: subtracted, or noted as drift only.',
    source: 'EN 14792, EN 15058, EPA Method 7E (from memory)',
  },
  {
    term: 'Plant state',
    meaning:
      'What the plant does: running, start-up, shut-down, off. Only running time counts, and coverage is measured against it.',
    source: '40 CFR 60.13(h); Directive 2010/75/EU, Annex VI, Part 8',
  },
  {
    term: 'Block',
    meaning: 'The average over a fixed length of time, counted from the clock or from the run’s start.',
    source: 'EN 17255-1; 40 CFR 60.13(h)',
  },
  {
    term: 'Rolling average',
    meaning: 'The average over the last so many complete minutes, renewed each minute.',
    source: ours,
  },
  {
    term: 'Coverage',
    meaning: 'The share of a block’s running time in which readings counted.',
    source: 'EN 17255-1 (from memory)',
  },
  {
    term: 'Valid',
    meaning:
      'A block is valid when enough of it counted: two thirds of the time, a reading in each quarter of the hour, or so many minutes, as the station file says. An invalid block keeps its number and says why.',
    source: 'EN 17255-1 (from memory); 40 CFR 60.13(h)(2)',
  },
  {
    term: 'Provisional, final',
    meaning:
      'A provisional average still waits for something, such as the next zero; a final one changes only by an amendment that is kept on record.',
    source: ours,
  },
  {
    term: 'Dry, wet',
    meaning: 'Whether the water vapour of the gas is left out of its volume. Limits are mostly set for dry gas.',
    source: 'EPA Method 19; Directive 2010/75/EU, Article 3',
  },
  {
    term: 'ppm, mg/m³',
    meaning:
      'Parts of a million of the volume; milligrams in a cubic metre of gas at the temperature and pressure that are stated with it.',
    source: 'ideal gas law; 40 CFR 60.4244(d)',
  },
  {
    term: 'Reference oxygen',
    meaning:
      'The oxygen content to which concentrations are brought, so that thinning the gas with air gains nothing: C × (A − reference) / (A − measured).',
    source: 'Directive 2010/75/EU, Annex VI, Part 7; 40 CFR 60.4213(d)',
  },
  {
    term: 'Normal, standard conditions',
    meaning: 'Temperature and pressure of a volume: 273.15 K in the EU, 293.15 K in US methods, both at 101.325 kPa.',
    source: 'Directive 2010/75/EU, Article 3; EPA Method 19',
  },
  {
    term: '± (expanded uncertainty)',
    meaning:
      'The truth lies within so much of the average in about 95 of 100 cases, as far as the causes that are known and listed go.',
    source: 'JCGM 100:2008, 6.2 (k = 2)',
  },
  {
    term: 'Limit, verdict',
    meaning:
      'What an average is compared with, and the outcome: below, above, or undecided within the uncertainty, by the rule that the station file names.',
    source: 'JCGM 106:2012',
  },
  {
    term: 'Below detection',
    meaning: 'Too little to be told from nothing: BDL all of it, DLL some of it, ADL none of it.',
    source: 'EPA GD-51 (2009)',
  },
  {
    term: 'Check',
    meaning: 'Gas of known content given to the instrument, and what it showed: before and after the run.',
    source: 'EPA Method 7E; EN 14792 (from memory)',
  },
  {
    term: 'Drift',
    meaning:
      'How far zero or span moved between two checks. Within the method’s limit it is corrected or let be; beyond it, what was measured since the last good check is invalid.',
    source: 'EPA Method 7E, 13.3; EN 14792 (from memory)',
  },
  {
    term: 'Alarm',
    meaning:
      'Something that wants a hand now. Acknowledging says that a person has seen it; it goes when its cause goes, or when it is reset.',
    source: 'IEC 62682, ISA-18.2',
  },
  {
    term: 'Shelved',
    meaning: 'Put aside by a person for a stated time; it goes on being watched and comes back by itself.',
    source: 'IEC 62682, ISA-18.2',
  },
  {
    term: 'Advice',
    meaning: 'A running block is on course past its limit. Nothing is passed yet.',
    source: ours,
  },
  {
    term: 'Seal',
    meaning: 'A hash over a stretch of raw lines and over the seal before it: a changed, missing or added line shows.',
    source: ours,
  },
  {
    term: 'Exclusion',
    meaning: 'A stretch that a person took out of the averages, with name and reason. The old values are kept.',
    source: 'ISO/IEC 17025, 7.5 (from memory)',
  },
]
