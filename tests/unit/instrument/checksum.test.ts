import { expect, test } from 'vitest'
import { aReader, readLine } from '../../support/line-reading.ts'

const withSum = (checksum: Record<string, unknown>) => aReader({ delimiter: ',', checksum })

// $GPGGA… *47: the worked sentence that descriptions of NMEA 0183 print; from memory, the sum was checked by hand: XOR of the bytes between $ and *.
const sentence = '$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47'

test('XOR over the bytes between the start and the marker', () => {
  const reader = aReader({
    delimiter: ',',
    fields: [{ name: 'altitude', at: 9 }],
    checksum: { kind: 'xor8-hex', start: '$' },
  })
  expect(readLine(reader, `${sentence}\r\n`).values).toEqual([545.4])
  expect(readLine(reader, sentence.replace('545.4', '545.5')).refused).toBe('checksum_wrong')
})

test('what the sum covers is what is read: start and digits are no columns', () => {
  // '8' ^ '.' ^ '1' ^ ',' ^ '5' = 38 ^ 2e ^ 31 ^ 2c ^ 35 = 3e, by hand.
  expect(readLine(withSum({ kind: 'xor8-hex', start: '$' }), '$8.1,5*3E').values).toEqual([8.1, 5])
  expect(readLine(withSum({ kind: 'xor8-hex', start: '$' }), '$8.1,5*3e \r\n').values).toEqual([8.1, 5])
})

test('the sum of the bytes, low byte', () => {
  // 38 + 2e + 31 + 2c + 35 = f8, by hand.
  expect(readLine(withSum({ kind: 'sum8-hex' }), '8.1,5*F8').values).toEqual([8.1, 5])
  expect(readLine(withSum({ kind: 'sum8-hex' }), '8.1,5*F9').refused).toBe('checksum_wrong')
})

test('CRC-16/MODBUS', () => {
  // Check value of “123456789” is 0x4B37. Source: catalogue of parametrised CRC algorithms (G. Cook), CRC-16/MODBUS; from memory.
  expect(
    readLine(aReader({ fields: [{ name: 'x', at: 0 }], checksum: { kind: 'crc16-modbus-hex' } }), '123456789*4B37')
      .values,
  ).toEqual([123456789])
  expect(
    readLine(aReader({ fields: [{ name: 'x', at: 0 }], checksum: { kind: 'crc16-modbus-hex' } }), '123456789*374B')
      .refused,
  ).toBe('checksum_wrong')
})

test.each(['8.1,5', '8.1,5*', '8.1,5*3', '8.1,5*3E0', '8.1,5*XY', '*', ''.padEnd(3, '*')])(
  '%s carries no checksum',
  (line) => {
    expect(readLine(withSum({ kind: 'xor8-hex' }), line).refused).toBe('checksum_missing')
  },
)

test('a line without the start text carries none', () => {
  expect(readLine(withSum({ kind: 'xor8-hex', start: '$' }), '8.1,5*3E').refused).toBe('checksum_missing')
})

test('where it is not required, a line without is read whole; a wrong one is still refused', () => {
  const reader = withSum({ kind: 'xor8-hex', required: false })
  expect(readLine(reader, '8.1,5').values).toEqual([8.1, 5])
  expect(readLine(reader, '8.1,5*3E').values).toEqual([8.1, 5])
  expect(readLine(reader, '8.1,5*3F').refused).toBe('checksum_wrong')
})

test('a line cut in the middle and run into the next one does not pass', () => {
  expect(readLine(withSum({ kind: 'xor8-hex', start: '$' }), '$8.1,$8.1,5*3E').refused).toBe('checksum_wrong')
})
