import { expect, test } from 'vitest'
import { checkProfile } from '../../../protocols/instrument/check-profile.ts'
import { compileProfile } from '../../../protocols/instrument/compile-profile.ts'
import type { LineForm, Place } from '../../../protocols/instrument/form.ts'
import { type LineForms, lineForms } from '../../../protocols/instrument/forms.ts'
import {
  delimitedProfile,
  fixedWidthProfile,
  jsonLinesProfile,
  keyValueProfile,
  type LineProfile,
  lineProfile,
  patternProfile,
} from '../../../protocols/instrument/profile.ts'
import { aProfile, readLine } from '../../support/line-reading.ts'

/** A sixth form: letters before numbers, `A8.1B112`; a place is the letter. */
const lettered: LineForm = {
  form: 'delimited',
  places: { kinds: ['name'], text: 'one letter' },
  spansIn: 'profile',
  check: (_, places) =>
    places.flatMap(({ path, at }) => (/^[A-Z]$/.test(String(at)) ? [] : [{ path, message: 'no letter' }])),
  compile(_, places: readonly Place[]) {
    return {
      read(bytes, start, end, spans) {
        spans.source = bytes
        for (const [place, at] of places.entries()) {
          const letter = bytes.indexOf(String(at).charCodeAt(0), start)
          spans.starts[place] = letter < 0 ? -1 : letter + 1
          let to = letter + 1
          while (to < end && (bytes[to] ?? 0) < 65) to++
          spans.ends[place] = to
        }
        return null
      },
      reset() {},
    }
  },
}
const forms = { ...lineForms, lettered } as unknown as LineForms
const profile = (at: string) =>
  ({
    ...aProfile(),
    form: 'lettered',
    fields: [
      { ...aProfile().fields[0], at },
      { ...aProfile().fields[1], at: 'B' },
    ],
  }) as unknown as LineProfile

test('a further form plugs into the table: time, tokens, status and checks are there at once', () => {
  const reader = compileProfile(profile('A'), { stationZone: 'UTC' }, forms)
  expect(readLine(reader, 'A8.1B----\r\n').values).toEqual([8.1, 'missing'])
  expect(readLine(reader, 'B112\n').values).toEqual(['absent', 112])
  expect(checkProfile(profile('no letter'), forms)).toEqual([{ path: 'fields[0].at', message: 'no letter' }])
})

test('every form of the schema is in the table under its own name', () => {
  const names = [delimitedProfile, keyValueProfile, fixedWidthProfile, jsonLinesProfile, patternProfile].map(
    (schema) => schema.shape.form.value,
  )
  expect(Object.keys(lineForms).sort()).toEqual(names.sort())
  expect(Object.entries(lineForms).every(([name, form]) => form.form === name)).toBe(true)
  expect(lineProfile.options).toHaveLength(names.length)
})
