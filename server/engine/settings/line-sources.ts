import { z } from 'zod'

const lineEnd = z
  .enum(['auto', 'cr', 'lf', 'crlf'])
  .default('auto')
  .describe('`auto` ends lines at LF and cuts a CR before it.')

export const serialSource = z.strictObject({
  kind: z
    .literal('serial')
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
  parity: z.enum(['none', 'even', 'odd', 'mark', 'space']).default('none').describe('Parity bit.'),
  stopBits: z
    .union([z.literal(1), z.literal(1.5), z.literal(2)])
    .default(1)
    .describe('Stop bits.'),
  flowControl: z.enum(['none', 'rts-cts', 'xon-xoff']).default('none').describe('Handshake.'),
  lineEnd,
})
export const tcpSource = z.strictObject({
  kind: z.literal('tcp'),
  host: z.string().min(1).describe('Name or address of the instrument or its converter.'),
  port: z.int().min(1).max(65_535).describe('Its TCP port.'),
  lineEnd,
})
export const fileSource = z.strictObject({
  kind: z.literal('file'),
  path: z.string().min(1).describe('A file to which another program adds lines.'),
  from: z.enum(['start', 'end']).default('end').describe('Whether what it holds already is read too.'),
  lineEnd,
})
export const playbackSource = z.strictObject({
  kind: z.literal('playback'),
  path: z.string().min(1).describe('A recording or a text log.'),
  speed: z
    .union([z.number().positive(), z.literal('fastest')])
    .default(1)
    .describe('How many times as fast as it was recorded.'),
  lineEnd,
})
export const simulatorSource = z.strictObject({
  kind: z.literal('simulator'),
  scenario: z.string().default('calm-night').describe('An invented night.'),
  seed: z.int().default(1).describe('The same seed gives the same night.'),
  link: z.enum(['pseudo-terminal', 'tcp']).default('tcp').describe('Over which kind of link it writes.'),
})
export const lineSource = z.discriminatedUnion('kind', [
  serialSource,
  tcpSource,
  fileSource,
  playbackSource,
  simulatorSource,
])
export type LineSource = z.infer<typeof lineSource>
