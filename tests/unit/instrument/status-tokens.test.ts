import { expect, test } from 'vitest'
import { aReader, noon, readLine, toBytes } from '../../support/line-reading.ts'

const rule = {
  field: 'state',
  tokens: {
    M: { phase: 'measure', clears: true },
    P: { phase: 'purge' },
    TRAP: { fault: 'condensate' },
    OFF: { plant: 'off' },
  },
}
const settings = {
  fields: [
    { name: 'o2', at: 0 },
    { name: 'state', at: 1 },
  ],
  status: [rule],
}

test('a token tells phase, fault, plant state, or that the faults are over', () => {
  const reader = aReader(settings)
  const told = ['8.1;M', '20.9;P', '8.1;TRAP', '8.1;OFF'].map((line) => {
    reader.read(toBytes(line), noon, 'whole')
    return reader.content.status[0]
  })
  expect(told).toEqual([
    { token: 'M', known: true, phase: 'measure', clears: true },
    { token: 'P', known: true, phase: 'purge' },
    { token: 'TRAP', known: true, fault: 'condensate' },
    { token: 'OFF', known: true, plant: 'off' },
  ])
})

test('a token that no rule knows is told as unknown, word by word as it came', () => {
  expect(readLine(aReader(settings), '8.1; Warm up ').status).toEqual(['Warm up?'])
})

test('an empty field and a missing token tell nothing', () => {
  expect(readLine(aReader(settings), '8.1;').status).toEqual([])
  expect(readLine(aReader(settings), '8.1;----').status).toEqual([])
})

test('a rule may give a missing token a meaning', () => {
  expect(
    readLine(aReader({ ...settings, status: [{ field: 'state', tokens: { '--': { phase: 'standby' } } }] }), '8.1;--')
      .status,
  ).toEqual(['--'])
})

test('a field with several tokens tells them in their order', () => {
  const reader = aReader({ ...settings, status: [{ ...rule, separator: '+' }] })
  expect(readLine(reader, '8.1;M+TRAP + X++').status).toEqual(['M', 'TRAP', 'X?'])
  expect(readLine(reader, '8.1;+').status).toEqual([])
})

test('the same text tells the same again, and another text another', () => {
  const reader = aReader({ ...settings, status: [{ ...rule, separator: ' ' }] })
  const told = ['M', 'M', 'M TRAP', 'M  TRAP', '', 'M'].map((text) => readLine(reader, `8.1;${text}`).status)
  expect(told).toEqual([['M'], ['M'], ['M', 'TRAP'], ['M', 'TRAP'], [], ['M']])
})

test('what was told last does not change with the memory that it came in', () => {
  const reader = aReader(settings)
  const memory = Buffer.from('8.1;M')
  readLine(reader, memory)
  memory.write('P', 4)
  expect(readLine(reader, memory).status).toEqual(['P'])
})

test('a field of numbers can be a status as well', () => {
  const reader = aReader({
    ...settings,
    status: [{ field: 'state', tokens: { '0': { phase: 'measure' }, '3': { phase: 'purge' } } }],
  })
  expect(readLine(reader, '8.1;3')).toMatchObject({ values: [8.1, 3], status: ['3'] })
})

test('a status text is no unreadable number', () => {
  expect(readLine(aReader(settings), '8.1;M').values).toEqual([8.1, 'missing'])
})

test('several rules tell in the line’s order', () => {
  const fields = [
    { name: 'alarm', at: 2 },
    { name: 'mode', at: 0 },
    { name: 'o2', at: 1 },
  ]
  const reader = aReader({
    fields,
    status: [
      { field: 'alarm', tokens: { TRAP: { fault: 'condensate' } } },
      { field: 'mode', tokens: { M: { phase: 'measure' } } },
    ],
  })
  expect(readLine(reader, 'M;8.1;TRAP').status).toEqual(['M', 'TRAP'])
  expect(readLine(reader, 'M;8.1;').status).toEqual(['M'])
})

const lineRule = {
  tokens: { 'PURGE ON': { phase: 'purge' }, 'PURGE ON HOLD': { phase: 'standby' }, TRAP: { fault: 'condensate' } },
}

test('a line that is nothing but a status is read, with every field absent', () => {
  const reader = aReader({ status: [lineRule] })
  readLine(reader, '8.1;112')
  expect(readLine(reader, '*** PURGE ON ***')).toMatchObject({
    refused: null,
    values: ['absent', 'absent'],
    status: ['PURGE ON'],
    time: null,
  })
})

test('its tokens are whole words, the longest first, all of them', () => {
  const reader = aReader({ status: [lineRule] })
  expect(readLine(reader, 'TRAP, PURGE ON HOLD').status).toEqual(['TRAP', 'PURGE ON HOLD'])
  expect(readLine(reader, 'TRAPPED').refused).toBe('wrong_columns')
  expect(readLine(reader, 'PURGE ONLY').refused).toBe('wrong_columns')
})

test('a line with values is not searched for such words', () => {
  expect(readLine(aReader({ status: [lineRule] }), '8.1;112;TRAP').status).toEqual([])
})

test('a status line without a time is read; one with a time keeps it', () => {
  const reader = aReader({ fields: [{ name: 'o2', at: 1 }], time: { fields: [0], format: 'iso' }, status: [lineRule] })
  expect(readLine(reader, 'PURGE ON')).toMatchObject({ status: ['PURGE ON'], time: null })
  expect(readLine(reader, '2024-03-05T22:00:00Z;PURGE ON')).toMatchObject({
    status: ['PURGE ON'],
    time: '2024-03-05T22:00:00.000Z',
  })
})

test('a known status makes a line of garbage worth keeping, an unknown one does not', () => {
  const reader = aReader(settings)
  expect(readLine(reader, '#;TRAP').status).toEqual(['TRAP'])
  expect(readLine(reader, '#;#').refused).toBe('nothing_readable')
  expect(readLine(reader, ' ;Warm up').status).toEqual(['Warm up?'])
})
