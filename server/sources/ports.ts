import { readdir, realpath } from 'node:fs/promises'

/** A serial port of this machine. */
export interface FoundPort {
  /** The kernel's name, `/dev/ttyUSB0`; changes with the order of plugging in. */
  readonly device: string
  /** What to write into the station file: the most stable name there is. */
  readonly recommended: string
  readonly byId: string | null
  readonly byPath: string | null
  readonly serialNumber: string | null
  /** `0403:6001`; null for a port that is not on USB. */
  readonly usbId: string | null
  /** The adapter's own description. */
  readonly description: string | null
  /** How far the recommended name can be trusted, and what to mind. */
  readonly note: string
}

/** What the serial packages tell of a port; the fields that matter here. */
export interface DescribedPort {
  readonly path: string
  readonly manufacturer?: string | undefined
  readonly serialNumber?: string | undefined
  readonly vendorId?: string | undefined
  readonly productId?: string | undefined
}
export interface PortSearch {
  readonly dev?: string
  /** Rejects where it cannot know; then the folder of devices alone is searched. */
  readonly describe?: () => Promise<readonly DescribedPort[]>
}

/** Needs udevadm, which bare machines lack. */
const describePorts = async (): Promise<readonly DescribedPort[]> => (await import('serialport')).SerialPort.list()

const deviceName = /^(ttyUSB|ttyACM|ttyAMA|ttySC|ttyXRUSB|ttyGS)\d+$/

/** All serial ports with their stable names, ordered by device. Never rejects: what cannot be found out is null. Pseudo-terminals are not listed. */
export async function listPorts(search: PortSearch = {}): Promise<FoundPort[]> {
  const dev = search.dev ?? '/dev'
  // Without the packages or udevadm the device names and links still serve.
  const described = await (search.describe ?? describePorts)().catch(() => [])
  const [byId, byPath] = await Promise.all([linksIn(`${dev}/serial/by-id`), linksIn(`${dev}/serial/by-path`)])
  const plain = (await readdir(dev).catch(() => []))
    .filter((name) => deviceName.test(name))
    .map((name) => `${dev}/${name}`)
  const linked = [...byId.values(), ...byPath.values()]
  // Of the on-board ports, ttyS0 and so on, most exist in name only: those that udev describes or links are shown.
  const devices = [...new Set([...described.map((port) => port.path), ...plain, ...linked])].sort(inNaturalOrder)

  return devices.map((device) => {
    const told = described.find((port) => port.path === device)
    const usbId = told?.vendorId && told.productId ? `${told.vendorId}:${told.productId}`.toLowerCase() : null
    const port = {
      device,
      byId: keyOf(byId, device),
      byPath: keyOf(byPath, device),
      serialNumber: told?.serialNumber ?? null,
      usbId,
      description: told?.manufacturer ?? null,
    }
    const twins = described.filter(
      (other) =>
        usbId !== null &&
        `${other.vendorId}:${other.productId}`.toLowerCase() === usbId &&
        other.serialNumber === told?.serialNumber,
    )
    return { ...port, ...recommendation(port, twins.length > 1) }
  })
}

function recommendation(
  port: Pick<FoundPort, 'device' | 'byId' | 'byPath'>,
  hasTwin: boolean,
): Pick<FoundPort, 'recommended' | 'note'> {
  if (hasTwin) {
    const why = 'another adapter has the same type and serial number, so its by-id name is ambiguous'
    return port.byPath
      ? { recommended: port.byPath, note: `${why}; this name belongs to the socket: keep the adapter in it` }
      : { recommended: port.device, note: `${why}; this name may change when it is plugged in again` }
  }
  if (port.byId) return { recommended: port.byId, note: 'belongs to the adapter, in whichever socket it is' }
  if (port.byPath) return { recommended: port.byPath, note: 'belongs to the socket: keep the adapter in it' }
  return { recommended: port.device, note: 'has no stable name; the number may change when it is plugged in again' }
}

/** Link → device. */
async function linksIn(folder: string): Promise<Map<string, string>> {
  const names = await readdir(folder).catch(() => [])
  const pairs = await Promise.all(
    names
      .sort()
      .map(async (name) => [`${folder}/${name}`, await realpath(`${folder}/${name}`).catch(() => '')] as const),
  )
  return new Map(pairs.filter(([, device]) => device !== ''))
}

const keyOf = (links: ReadonlyMap<string, string>, device: string): string | null =>
  [...links].find(([, target]) => target === device)?.[0] ?? null
const inNaturalOrder = (a: string, b: string): number => a.localeCompare(b, 'en', { numeric: true })
