import { z } from 'zod'
import { choice } from '../../../protocols/instrument/choice.ts'

const lineEnd = choice({
  auto: 'LF, with or without CR',
  cr: 'CR alone',
  lf: 'LF alone',
  crlf: 'CR and LF',
})
  .default('auto')
  .describe('What ends a line.')

export const serialSource = z.strictObject({
  kind: z
    .literal('serial')
    .meta({ title: 'a serial port' })
    .describe('A serial port, a TCP server, a growing file, something recorded earlier, or the simulator.'),
  path: z
    .string()
    .min(1)
    .describe('The port, best a stable one as `/dev/serial/by-id/…`; `flueledger ports` lists them.'),
  baudRate: z.int().min(50).max(4_000_000).default(9600).describe('As the instrument’s manual says.'),
  dataBits: z
    .union([z.literal(5), z.literal(6), z.literal(7), z.literal(8)])
    .default(8)
    .describe('Data bits.'),
  parity: choice({
    none: 'no parity',
    even: 'even',
    odd: 'odd',
    mark: 'mark; on Windows alone',
    space: 'space; on Windows alone',
  })
    .default('none')
    .describe('Parity bit.'),
  stopBits: z
    .union([z.literal(1), z.literal(1.5), z.literal(2)])
    .default(1)
    .describe('Stop bits; 1.5 on Windows alone.'),
  flowControl: choice({ none: 'no handshake', 'rts-cts': 'RTS/CTS lines', 'xon-xoff': 'XON/XOFF signs' })
    .default('none')
    .describe('Handshake.')
    .meta({ title: 'Handshake' }),
  lineEnd,
})
export const tcpSource = z.strictObject({
  kind: z.literal('tcp').meta({ title: 'an address in the network' }),
  host: z.string().min(1).describe('Name or address of the instrument or its converter.'),
  port: z.int().min(1).max(65_535).describe('Its TCP port.'),
  lineEnd,
})
export const fileSource = z.strictObject({
  kind: z.literal('file').meta({ title: 'a file that grows' }),
  path: z.string().min(1).describe('A file to which another program adds lines.'),
  from: choice({ start: 'the start of the file', end: 'its end: new lines only' })
    .default('end')
    .describe('Whether what it holds already is read too. After a restart, what the run has of it is not read again.')
    .meta({ title: 'Read from' }),
  lineEnd,
})
export const playbackSource = z.strictObject({
  kind: z.literal('playback').meta({ title: 'a recording or log, played back' }),
  path: z.string().min(1).describe('A recording or a text log; each start of the station plays it from its beginning.'),
  speed: z
    .union([z.number().positive(), z.literal('fastest').meta({ title: 'as fast as it goes' })])
    .default(1)
    .describe('How many times as fast as it was recorded.'),
  lineEnd,
})
export const simulatorSource = z.strictObject({
  kind: z.literal('simulator').meta({ title: 'the simulator (invented data)' }),
  scenario: z.string().default('calm-night').describe('An invented night.'),
  seed: z.int().default(1).describe('The same seed gives the same night.'),
  link: choice({ 'pseudo-terminal': 'a serial line (pseudo-terminal)', tcp: 'the network (TCP)' })
    .default('tcp')
    .describe('Over which kind of link it writes.'),
})
export const lineSource = z.discriminatedUnion('kind', [
  serialSource,
  tcpSource,
  fileSource,
  playbackSource,
  simulatorSource,
])
export type LineSource = z.infer<typeof lineSource>
