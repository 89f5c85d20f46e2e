import { z } from 'zod'

const lineEnd = z.enum(['auto', 'cr', 'lf', 'crlf']).default('auto').describe('`auto` ends lines at LF and cuts a CR before it.')

export const serialSource = z.strictObject({
  kind: z.literal('serial'),
  path: z.string().min(1).describe('The port, best a stable one as `/dev/serial/by-id/…`; `flueledger ports` lists them.'),
  baudRate: z.int().min(50).max(4_000_000).default(9600),
  dataBits: z.union([z.literal(5), z.literal(6), z.literal(7), z.literal(8)]).default(8),
  parity: z.enum(['none', 'even', 'odd', 'mark', 'space']).default('none'),
  stopBits: z.union([z.literal(1), z.literal(1.5), z.literal(2)]).default(1),
  flowControl: z.enum(['none', 'rts-cts', 'xon-xoff']).default('none'),
  lineEnd,
})
export const tcpSource = z.strictObject({ kind: z.literal('tcp'), host: z.string().min(1), port: z.int().min(1).max(65_535), lineEnd })
export const fileSource = z.strictObject({ kind: z.literal('file'), path: z.string().min(1), from: z.enum(['start', 'end']).default('end'), lineEnd })
export const playbackSource = z.strictObject({
  kind: z.literal('playback'), path: z.string().min(1).describe('A recording or a text log.'),
  speed: z.union([z.number().positive(), z.literal('fastest')]).default(1), lineEnd,
})
export const simulatorSource = z.strictObject({
  kind: z.literal('simulator'), scenario: z.string().default('calm-night'), seed: z.int().default(1),
  link: z.enum(['pseudo-terminal', 'tcp']).default('tcp'),
})
export const lineSource = z.discriminatedUnion('kind', [serialSource, tcpSource, fileSource, playbackSource, simulatorSource])
export type LineSource = z.infer<typeof lineSource>
