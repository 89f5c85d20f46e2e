import type { z } from 'zod'
import { type LineForm, type Place, refusal } from './form.ts'
import type { fixedWidthProfile } from './profile.ts'
import { longestLineBytes } from './reader.ts'

type ColumnsPlace = Extract<Place, object>
const columnsOf = (at: Place): ColumnsPlace => (typeof at === 'object' ? at : { from: 0, length: 0 })

/** Columns of bytes: `  20.9   112`. A field behind the end of the line is absent; one that the end cuts may be half a number. */
export const fixedWidth: LineForm<z.infer<typeof fixedWidthProfile>> = {
  form: 'fixed-width',
  places: { kinds: ['columns'], text: '{ "from": first column counted from 0, "length": width }' },
  spansIn: 'profile',
  check: (_, places) =>
    places.flatMap(({ path, at }) => {
      const { from, length } = columnsOf(at)
      return from + length > longestLineBytes
        ? [{ path, message: `a line is no longer than ${longestLineBytes} bytes` }]
        : []
    }),
  compile(_, places) {
    const froms = Int32Array.from(places, (at) => columnsOf(at).from)
    const lengths = Int32Array.from(places, (at) => columnsOf(at).length)
    return {
      read(bytes, start, end, spans) {
        spans.source = bytes
        for (let place = 0; place < froms.length; place++) {
          const from = start + (froms[place] as number)
          const to = from + (lengths[place] as number)
          if (to > end && from < end)
            return refusal(
              'wrong_columns',
              `${end - start} bytes; the end of the line cuts columns ${froms[place]} to ${to - start - 1}`,
            )
          spans.starts[place] = from < end ? from : -1
          spans.ends[place] = to
        }
        return null
      },
      reset() {},
    }
  },
}
