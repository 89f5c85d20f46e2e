import type { Form, Place, ProfileProblem } from './form.ts'
import { formOf, type LineForms, lineForms } from './forms.ts'
import { parseNumber } from './parse-number.ts'
import type { LineProfile } from './profile.ts'
import { encodeText } from './text-encoding.ts'
import { isEpoch } from './time-field.ts'
import { timeFormat } from './time-format.ts'
import { zoneTime } from './zone-time.ts'

const kindOf = (at: Place) => (typeof at === 'number' ? 'position' : typeof at === 'string' ? 'name' : 'columns')

/** Every place of a profile with its path: those of the fields, then those of the time. */
export const placesOf = (profile: LineProfile): { path: string; at: Place }[] => [
  ...profile.fields.map(({ at }, index) => ({ path: `fields[${index}].at`, at })),
  ...(profile.time?.fields ?? []).map((at, index) => ({ path: `time.fields[${index}]`, at })),
]

/** Parts of a profile that stand in for some that could not be read: nothing is held against them. */
export interface StoodFor {
  /** Of how its form cuts a line. */
  readonly form: boolean
  /** Of the names of fields. */
  readonly names: boolean
  /** Paths of places. */
  readonly places: ReadonlySet<string>
}
const nothingStoodFor: StoodFor = { form: false, names: false, places: new Set() }

/** What the schema can’t see: whether the parts of a profile fit each other. Empty: `compileProfile` takes it. All problems at once. */
export function checkProfile(
  profile: LineProfile,
  forms: LineForms = lineForms,
  stoodFor: StoodFor = nothingStoodFor,
): ProfileProblem[] {
  const form = formOf(profile, forms)
  const places = placesOf(profile).filter(({ path }) => !stoodFor.places.has(path))
  const misplaced = places.filter(({ at }) => !form.places.kinds.includes(kindOf(at)))
  return [
    ...misplaced.map(({ path, at }) => ({
      path,
      message: `${JSON.stringify(at)} does not fit the form ${profile.form satisfies Form}; give ${form.places.text}`,
    })),
    ...(stoodFor.form
      ? []
      : form.check(
          profile,
          places.filter((place) => !misplaced.includes(place)),
        )),
    ...namesGivenTwice(profile),
    ...(stoodFor.names ? [] : unknownFields(profile)),
    ...timeProblems(profile),
    ...tokensInTwoLists(profile),
    ...tokensThatAreSplit(profile),
    ...outsideEncoding(profile),
  ]
}

const quoted = (names: readonly string[]) => names.map((name) => `“${name}”`).join(', ')

function namesGivenTwice({ fields }: LineProfile): ProfileProblem[] {
  const first = (name: string) => fields.findIndex((field) => field.name === name)
  return fields.flatMap(({ name }, index) =>
    first(name) < index
      ? [{ path: `fields[${index}].name`, message: `“${name}” is the name of fields[${first(name)}] already` }]
      : [],
  )
}

function unknownFields({ fields, status, dilution }: LineProfile): ProfileProblem[] {
  const names = fields.map(({ name }) => name)
  const asked = [
    ...status.map(({ field }, index) => ({ path: `status[${index}].field`, field })),
    { path: 'dilution.field', field: dilution.field },
  ]
  return asked.flatMap(({ path, field }) =>
    field === undefined || names.includes(field)
      ? []
      : [{ path, message: `there is no field “${field}”; there are ${quoted(names)}` }],
  )
}

function timeProblems({ time }: LineProfile): ProfileProblem[] {
  if (!time) return []
  const problems: ProfileProblem[] = []
  const format = isEpoch(time.format) ? null : timeFormat(time.format)
  if (typeof format === 'string') problems.push({ path: 'time.format', message: format })
  if (isEpoch(time.format) && time.fields.length > 1)
    problems.push({ path: 'time.fields', message: `${time.format} stands in one field` })
  if (time.zone !== 'station' && !zoneTime(time.zone))
    problems.push({
      path: 'time.zone',
      message: `there is no zone “${time.zone}”; use UTC, station, an offset as +01:00, or a name as Europe/Lisbon`,
    })
  return problems
}

function tokensInTwoLists({ missing, over, under, decimal }: LineProfile): ProfileProblem[] {
  const lists = { missing, over, under }
  const taken = new Map<string | number, string>()
  return Object.entries(lists).flatMap(([list, tokens]) =>
    tokens.flatMap((token, index) => {
      const bytes = new TextEncoder().encode(token.trim())
      const value = parseNumber(bytes, 0, bytes.length, decimal.charCodeAt(0))
      // Numbers are compared by value, as the reader does.
      const meant = Number.isNaN(value) ? token.trim() : value
      const other = taken.get(meant)
      taken.set(meant, other ?? list)
      return other && other !== list
        ? [{ path: `${list}[${index}]`, message: `“${token}” stands in ${other} too` }]
        : []
    }),
  )
}

/** A text is split before its parts are looked up: a token that holds the separator would never be found. */
const tokensThatAreSplit = ({ status }: LineProfile): ProfileProblem[] =>
  status.flatMap(({ field, tokens, separator }, index) =>
    field === undefined || !separator
      ? []
      : Object.keys(tokens)
          .filter((token) => token.trim().includes(separator))
          .map((token) => ({
            path: `status[${index}].tokens`,
            message: `“${token}” holds the separator “${separator}”, so it is never found; give its parts, or take the separator out`,
          })),
  )

/** Texts that are looked for in lines, and so must have bytes in the profile’s encoding. */
function outsideEncoding(profile: LineProfile): ProfileProblem[] {
  const texts: [string, string | undefined][] = [
    ...profile.comment.map((text, index): [string, string] => [`comment[${index}]`, text]),
    ...(['missing', 'over', 'under'] as const).flatMap((list) =>
      profile[list].map((text, index): [string, string] => [`${list}[${index}]`, text]),
    ),
    ...profile.fields.flatMap(({ unitSuffix }, index): [string, string | undefined][] => [
      [`fields[${index}].unitSuffix`, unitSuffix],
    ]),
    ...profile.fields.flatMap(({ missing }, index) =>
      (missing ?? []).map((text, token): [string, string] => [`fields[${index}].missing[${token}]`, text]),
    ),
    ...profile.status.flatMap(({ tokens }, index) =>
      Object.keys(tokens).map((token): [string, string] => [`status[${index}].tokens`, token]),
    ),
    ...placesOf(profile).map(({ path, at }): [string, string | undefined] => [
      path,
      typeof at === 'string' ? at : undefined,
    ]),
    ['checksum.start', profile.checksum?.start],
    ['checksum.marker', profile.checksum?.marker],
    ...('delimiter' in profile
      ? [['delimiter', profile.delimiter] as [string, string], ['quote', profile.quote] as [string, string]]
      : []),
    ...('between' in profile
      ? [['between', profile.between] as [string, string], ['equals', profile.equals] as [string, string]]
      : []),
  ]
  return texts.flatMap(([path, text]) =>
    text !== undefined && encodeText(text, profile.encoding) === null
      ? [{ path, message: `“${text}” can’t be written in ${profile.encoding}` }]
      : [],
  )
}
