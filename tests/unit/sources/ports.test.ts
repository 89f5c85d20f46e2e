import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { type DescribedPort, type FoundPort, listPorts } from '../../../server/sources/ports.ts'
import { resolvePort } from '../../../server/sources/resolve-port.ts'

// Links as systemd's 60-serial.rules make them, devices as plain files: names are all that matters here.
let dev: string
beforeEach(() => {
  dev = mkdtempSync(join(tmpdir(), 'dev-'))
  mkdirSync(join(dev, 'serial', 'by-id'), { recursive: true })
  mkdirSync(join(dev, 'serial', 'by-path'))
})
afterEach(() => rmSync(dev, { recursive: true }))

function plug(device: string, byId: string | null, byPath: string | null): void {
  writeFileSync(join(dev, device), '')
  if (byId) symlinkSync(`../../${device}`, join(dev, 'serial', 'by-id', byId))
  if (byPath) symlinkSync(`../../${device}`, join(dev, 'serial', 'by-path', byPath))
}
const withoutUdevadm = async (): Promise<DescribedPort[]> => {
  throw new Error('spawn udevadm ENOENT')
}

test('without udevadm the ports are found by their names and links', async () => {
  plug('ttyUSB1', 'usb-adapter_A-if00-port0', 'pci-0-usb-0:1')
  plug('ttyUSB10', null, 'pci-0-usb-0:2')
  plug('ttyACM0', null, null)
  plug('ttyS0', null, null) // on board, in name only
  const ports = await listPorts({ dev, describe: withoutUdevadm })
  expect(ports.map((port) => [port.device, port.recommended])).toEqual([
    [`${dev}/ttyACM0`, `${dev}/ttyACM0`],
    [`${dev}/ttyUSB1`, `${dev}/serial/by-id/usb-adapter_A-if00-port0`],
    [`${dev}/ttyUSB10`, `${dev}/serial/by-path/pci-0-usb-0:2`],
  ])
  expect(ports.map((port) => port.note.slice(0, 20))).toEqual([
    'has no stable name; ',
    'belongs to the adapt',
    'belongs to the socke',
  ])
})

test('two adapters that cannot be told apart are recommended by their sockets', async () => {
  plug('ttyUSB0', 'usb-adapter-if00-port0', 'pci-0-usb-0:1')
  plug('ttyUSB1', null, 'pci-0-usb-0:2') // the second by-id link of the same name replaced nothing
  const twin = { vendorId: '0403', productId: '6001', manufacturer: 'invented' }
  const describe = async (): Promise<DescribedPort[]> => [
    { path: `${dev}/ttyUSB0`, ...twin },
    { path: `${dev}/ttyUSB1`, ...twin },
  ]
  const ports = await listPorts({ dev, describe })
  expect(ports.map((port) => port.recommended)).toEqual([
    `${dev}/serial/by-path/pci-0-usb-0:1`,
    `${dev}/serial/by-path/pci-0-usb-0:2`,
  ])
  expect(ports[0]?.note).toMatch(/ambiguous; this name belongs to the socket/)
})

test('two adapters of one type with serial numbers of their own are told apart by them', async () => {
  plug('ttyUSB0', 'usb-adapter_A-if00-port0', null)
  plug('ttyUSB1', 'usb-adapter_B-if00-port0', null)
  const describe = async (): Promise<DescribedPort[]> =>
    ['A', 'B'].map((serialNumber, at) => ({
      path: `${dev}/ttyUSB${at}`,
      vendorId: '0403',
      productId: '6001',
      serialNumber,
    }))
  expect((await listPorts({ dev, describe })).map((port) => port.recommended)).toEqual([
    `${dev}/serial/by-id/usb-adapter_A-if00-port0`,
    `${dev}/serial/by-id/usb-adapter_B-if00-port0`,
  ])
})

test('a machine without serial ports has an empty list', async () => {
  expect(await listPorts({ dev: join(dev, 'nothing'), describe: withoutUdevadm })).toEqual([])
})

const found = (device: string, serialNumber: string): FoundPort => ({
  device,
  serialNumber,
  byId: `/dev/serial/by-id/usb-adapter_${serialNumber}-if00-port0`,
  byPath: null,
  usbId: null,
  description: null,
  note: '',
  recommended: `/dev/serial/by-id/usb-adapter_${serialNumber}-if00-port0`,
})
const two = async (): Promise<FoundPort[]> => [found('/dev/ttyUSB0', 'A10'), found('/dev/ttyUSB1', 'B10')]

test('a port is found by its serial number, in whichever socket it is', async () => {
  expect(await resolvePort('B10', two)).toEqual({ ok: true, device: '/dev/ttyUSB1' })
})

test('a name that fits two ports is refused with the candidates', async () => {
  const resolved = await resolvePort('adapter', two)
  expect(resolved).toMatchObject({
    ok: false,
    detail: expect.stringMatching(/"adapter" fits several ports: .*adapter_A10.*, .*adapter_B10/),
  })
})

test('a name that fits none says how to list them', async () => {
  expect(await resolvePort('C10', two)).toMatchObject({ ok: false, detail: expect.stringMatching(/flueledger ports/) })
})

test('a link is followed to its device at each asking', async () => {
  plug('ttyUSB0', 'adapter', null)
  const name = join(dev, 'serial', 'by-id', 'adapter')
  expect(await resolvePort(name)).toEqual({ ok: true, device: join(dev, 'ttyUSB0') })
  rmSync(name)
  expect(await resolvePort(name)).toMatchObject({
    ok: false,
    detail: expect.stringMatching(/is not there; check that the adapter is plugged in/),
  })
})
