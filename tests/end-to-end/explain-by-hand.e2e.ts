import { afterAll, beforeAll, expect, test } from 'vitest'
import { flueledger } from '../support/built-command.ts'
import { demoRecording } from '../support/demo-recording.ts'

// An average of the demo's scenario, worked out again from the printed text of `explain` with a pocket calculator, step by
// step. The formulas are those that the text itself names.

let made: Awaited<ReturnType<typeof demoRecording>>
beforeAll(async () => {
  made = await demoRecording()
})
afterAll(() => made.remove())

/** A pocket calculator that shows ten digits, and goes on with what it shows. */
const pocket = (value: number): number => Number(value.toPrecision(10))

const textOf = async (...asked: string[]): Promise<string> =>
  (await flueledger('explain', made.recording, ...asked, '--readings')).out
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

test('nitrogen oxides at the reference oxygen, step by step from the printed readings', async () => {
  const text = await textOf('--block', '2026-11-20T18:30:00Z', '--channel', 'nox', '--average', 'PT30M')

  // Zeros: the mean of the printed readings.
  const zeros = new Map<string, number>()
  let values: number[] = []
  for (const line of [...section(text, 'Zeros subtracted'), '']) {
    const told = /^ {2}(\w+): (\S+)/.exec(line)
    if (told || line === '') {
      const last = [...zeros.keys()].at(-1)
      if (last !== undefined)
        close(pocket(values.reduce((sum, value) => pocket(sum + value), 0) / values.length), zeros.get(last) ?? 0)
      values = []
      if (told) zeros.set(told[1] ?? '', Number(told[2]))
    } else values.push(Number(line.trim().split(/\s+/)[1]))
  }
  expect([...zeros.keys()]).toEqual(['no', 'no2'])

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
