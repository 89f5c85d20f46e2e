import { listPorts } from '../sources/ports.ts'
import { exitStatus } from '../trouble.ts'
import { print, printJson, say } from './printing.ts'

/** `flueledger ports`: the serial ports of this machine, with the stable name to write into a station file. */
export async function ports({ json }: { readonly json?: boolean }): Promise<number> {
  const found = await listPorts()
  if (json) printJson(found)
  else if (found.length === 0) say('no serial port found; plug the adapter in, or type the path of one by hand')
  else
    for (const port of found)
      print(
        Object.values(port)
          .filter((value) => typeof value === 'string' && value)
          .join('  '),
      )
  return exitStatus.done
}
