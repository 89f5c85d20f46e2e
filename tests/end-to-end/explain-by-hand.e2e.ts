import { afterAll, beforeAll, expect, test } from 'vitest'
import { flueledger } from '../support/built-command.ts'
import { type DemoRecording, demoRecording } from '../support/demo-recording.ts'

// An average of the demo's scenario, worked out again from the printed text of `explain` with a pocket calculator, step by
// step. The formulas are those that the text itself names.

let made: DemoRecording
let rough: DemoRecording
beforeAll(async () => {
  made = await demoRecording()
  rough = await demoRecording('rough-night')
})
afterAll(() => {
  made.remove()
  rough.remove()
})

/** A pocket calculator that shows ten digits, and goes on with what it shows. */
const pocket = (value: number): number => Number(value.toPrecision(10))

const textOf = async (...asked: string[]): Promise<string> =>
  (await flueledger('explain', made.recording, ...asked, '--readings')).out
const roughTextOf = async (...asked: string[]): Promise<string> =>
  (await flueledger('explain', rough.recording, ...asked, '--readings')).out
const section = (text: string, title: string): string[] => {
  const from = text.split('\n')
  const at = from.findIndex((line) => line.startsWith(title))
  expect(at, `the text has no “${title}”`).toBeGreaterThan(0)
  const rest = from.slice(at + 1)
  return rest.slice(0, rest.indexOf(''))
}
const numbers = (line: string): number[] =>
  line
    .trim()
    .split(/\s{2,}/)
    .map((part) => Number.parseFloat(part))
/** Ten digits at each step: sums of 60 such numbers agree to eight. */
const close = (value: number, printed: number): void =>
  expect(Math.abs(value - printed)).toBeLessThanOrEqual(1e-8 * Math.abs(printed))

/** The steps as they are printed: names with values, then the result. */
function stepsOf(
  text: string,
): { readonly title: string; readonly inputs: Map<string, number>; readonly result: number }[] {
  return text
    .split(/\n(?=\d+\. )/)
    .slice(1)
    .map((step) => {
      const lines = step.split('\n')
      const inputs = new Map(
        lines.flatMap((line) => {
          const found = /^ {5}([^=]+) = (-?[\d.e+-]+)/.exec(line)
          return found ? [[found[1] ?? '', Number(found[2])] as const] : []
        }),
      )
      const result = Number(/^ {3}= (-?[\d.e+-]+)/m.exec(step)?.[1])
      return { title: lines[0] ?? '', inputs, result }
    })
}

/** The printed zeros, each worked out again: the mean of its printed readings, those beyond the bounds taken as these. */
function zerosByHand(
  text: string,
): { readonly channel: string; readonly mean: number; readonly middleMs: number; readonly ended: string }[] {
  const told = section(text, 'Zeros subtracted')
    .join('\n')
    .split(/\n(?= {2}\w)/)
  return told.map((one) => {
    const [first = '', ...lines] = one.split('\n')
    const [, channel = '', mean] = /^ {2}(\w+): ([^\s,]+)/.exec(first) ?? []
    const [, low = '-Infinity', high = 'Infinity'] = /those below (\S+) or above (\S+) taken/.exec(first) ?? []
    const values = lines.map((line) => Number(line.trim().split(/\s+/)[1]))
    const sum = values.reduce((all, value) => pocket(all + Math.min(Number(high), Math.max(Number(low), value))), 0)
    close(pocket(sum / values.length), Number(mean))
    const [, middle = ''] = /middle (\S+);/.exec(first) ?? []
    const [, ended = ''] = /ended (\S+)$/.exec(first) ?? []
    return { channel, mean: Number(mean), middleMs: Date.parse(middle), ended }
  })
}

test('nitrogen oxides at the reference oxygen, step by step from the printed readings', async () => {
  const text = await textOf('--block', '2026-11-20T18:30:00Z', '--channel', 'nox', '--average', 'PT30M')

  const zeros = zerosByHand(text)
  expect(zeros.map(({ channel }) => channel)).toEqual(['no', 'no2'])

  // Readings: (as read − zero) · span factor · dilution, then value · seconds summed by the minute.
  const minutes = new Map<string, { seconds: number; sums: number[] }>()
  let readings = 0
  for (const line of section(text, 'Readings:').filter((one) => /^ {2}\d/.test(one))) {
    const corrected = [...line.matchAll(/(no|no2|o2) (\S+), (\S+), (\S+), (\S+) → ([^;\s]+)/g)].map((found) => {
      const [asRead = 0, zero = 0, span = 0, dilution = 0, printed = 0] = found
        .slice(2)
        .map((part) => (part === 'none' ? 0 : Number(part)))
      const value = pocket(pocket(pocket(asRead - zero) * span) * dilution)
      close(value, printed)
      return value
    })
    const weight = /(\d\d:\d\d) (\S+) s$/.exec(line)
    if (!weight) continue
    readings++
    const minute = minutes.get(weight[1] ?? '') ?? { seconds: 0, sums: [0, 0, 0] }
    minute.seconds = pocket(minute.seconds + Number(weight[2]))
    minute.sums = minute.sums.map((sum, lane) =>
      pocket(sum + pocket((corrected[lane] ?? Number.NaN) * Number(weight[2]))),
    )
    minutes.set(weight[1] ?? '', minute)
  }
  expect(readings).toBe(1800)

  // Minutes: as printed, and their sum.
  const totals = [0, 0, 0, 0]
  for (const line of section(text, 'Minutes:')) {
    const [, ...printed] = numbers(line)
    const place = line.trim().slice(0, 5)
    if (line.trim().startsWith('sum')) {
      for (const [lane, value] of printed.entries()) close(totals[lane] ?? Number.NaN, value)
      continue
    }
    const minute = minutes.get(place)
    ;[minute?.seconds ?? Number.NaN, ...(minute?.sums ?? [])].forEach((value, lane) => {
      close(value, printed[lane] ?? Number.NaN)
      totals[lane] = pocket((totals[lane] ?? 0) + (printed[lane] ?? Number.NaN))
    })
  }

  // Steps: each printed result from the printed inputs.
  const steps = stepsOf(text)
  const [no, no2, o2, factor, sum, oxygen, referred, coverage] = steps
  for (const mean of [no, no2, o2])
    close(
      pocket((mean?.inputs.get('sum of value · time') ?? 0) / (mean?.inputs.get('counted time') ?? 0)),
      mean?.result ?? 0,
    )
  const input = (step: typeof no, name: string): number => step?.inputs.get(name) ?? Number.NaN
  close(
    pocket(
      pocket(input(factor, 'molar mass of NO₂') * input(factor, 'pressure')) /
        pocket(input(factor, 'gas constant') * input(factor, 'temperature')),
    ),
    factor?.result ?? 0,
  )
  close(
    pocket(pocket((no?.result ?? 0) * (factor?.result ?? 0)) + pocket((no2?.result ?? 0) * (factor?.result ?? 0))),
    sum?.result ?? 0,
  )
  close(
    pocket(
      pocket(input(oxygen, 'oxygen of the air') - input(oxygen, 'reference oxygen')) /
        pocket(input(oxygen, 'oxygen of the air') - (o2?.result ?? 0)),
    ),
    oxygen?.result ?? 0,
  )
  const result = pocket((sum?.result ?? 0) * (oxygen?.result ?? 0))
  close(result, referred?.result ?? 0)
  expect(coverage?.result).toBe(1)
  // And that is the number at the top.
  close(result, Number(/^result: (\S+)/m.exec(text)?.[1]))
})

test('sulphur dioxide with zeros on the line between two purges, freed of what other gases add, from the printed text', async () => {
  const text = await roughTextOf(
    ...['--block', '2026-11-21T20:30:00Z', '--channel', 'so2', '--average', 'PT30M', '--quantity', 'drift_corrected'],
  )
  const zeros = zerosByHand(text)
  // Each gas lies between the two zeros that the text names.
  const courses = section(text, 'How the zeros went').map((line) =>
    /(\w+), .* zero that ended (\S+) to the one that ended (\S+)$/.exec(line),
  )
  const lineOf = new Map(
    courses.map((found) => {
      const [, channel = '', first, second] = found ?? []
      const of = (ended: string | undefined) => zeros.find((zero) => zero.channel === channel && zero.ended === ended)
      return [channel, { first: of(first), second: of(second) }] as const
    }),
  )
  expect([...lineOf.keys()]).toEqual(['so2', 'no', 'no2'])
  const [, ...solved] = /^ {2}so2 = − (\S+) · no \+ (\S+) · no2 \+ (\S+) · so2$/m.exec(text) ?? []
  const [ofNo = Number.NaN, ofNo2 = Number.NaN, ofSo2 = Number.NaN] = solved.map(Number)

  let [sum, time, readings] = [0, 0, 0]
  for (const line of section(text, 'Readings:').filter((one) => /^ {2}\d/.test(one))) {
    const atMs = Date.parse(`2026-11-21T${line.trim().split(/\s+/)[1]}Z`)
    const alone = new Map<string, number>()
    for (const found of line.matchAll(/(so2|no2|no) (\S+), (\S+), (\S+), (\S+) → ([^;\s]+)/g)) {
      const [, channel = '', ...printed] = found
      const [asRead = 0, zero = 0, span = 0, dilution = 0, own = 0] = printed.map(Number)
      const { first, second } = lineOf.get(channel) ?? {}
      if (!first || !second) throw new Error(`no line of zeros for ${channel}`)
      const moved = pocket(
        pocket(second.mean - first.mean) * pocket((atMs - first.middleMs) / (second.middleMs - first.middleMs)),
      )
      close(pocket(first.mean + moved), zero)
      close(pocket(pocket(pocket(asRead - zero) * span) * dilution), own)
      alone.set(channel, own)
    }
    const of = (channel: string): number => alone.get(channel) ?? Number.NaN
    const gas = pocket(pocket(pocket(ofNo2 * of('no2')) + pocket(ofSo2 * of('so2'))) - pocket(ofNo * of('no')))
    close(gas, Number(/so2 [^;]*→ \S+ → ([^;\s]+)/.exec(line)?.[1]))
    const weighs = Number(/ (\S+) s$/.exec(line)?.[1])
    sum = pocket(sum + pocket(gas * weighs))
    time += weighs
    readings++
  }
  expect(readings).toBe(1800)
  close(pocket(sum / time), Number(/^result: (\S+)/m.exec(text)?.[1]))
})
