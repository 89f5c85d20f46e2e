import { constants } from 'node:fs'
import { access, readFile, stat } from 'node:fs/promises'
import { portHolders } from './port-holders.ts'
import { portTexts } from './trouble-texts.ts'

/** The binding gives no error codes, only these texts. */
const saysBusy = /Cannot lock port|resource busy/i
const saysMissing = /No such (file|device)/i
const saysPermission = /Permission denied|not permitted/i
const saysNoPort = /Inappropriate ioctl|Not a typewriter|Is a directory/i
const saysUnknownParity = /Invalid parity setting/i
const saysUnknownStopBits = /Invalid stop ?bits setting/i
const saysSettings = /baud|parity|stop ?bits|data ?bits|Invalid argument/i

/** Why a port could not be opened and what to do. `device`: resolved path; `shown`: how the station file names it, with the device. */
export async function openTrouble(error: Error, device: string, shown: string): Promise<string> {
  const said = error.message
  if (saysBusy.test(said)) return portTexts.busy(shown, await portHolders(device), process.pid)
  if (saysMissing.test(said)) return portTexts.missing(shown)
  if (saysPermission.test(said) || (await isForbidden(device)))
    return (await letsItsGroupIn(device))
      ? portTexts.noPermission(shown, await groupOf(device))
      : portTexts.noGroupLetIn(shown, device)
  if (saysNoPort.test(said)) return portTexts.noSerialPort(shown)
  if (saysUnknownParity.test(said)) return portTexts.parityUnknown(shown)
  if (saysUnknownStopBits.test(said)) return portTexts.stopBitsUnknown(shown)
  if (saysSettings.test(said)) return portTexts.settingRefused(shown, error)
  return portTexts.failed(shown, error)
}

async function isForbidden(device: string): Promise<boolean> {
  return access(device, constants.R_OK | constants.W_OK).then(
    () => false,
    () => true,
  )
}

/** Whether to be in the port's group would help; true where that cannot be found out. Into the group of root nobody should be let. */
async function letsItsGroupIn(device: string): Promise<boolean> {
  const groupReadsAndWrites = constants.S_IRGRP | constants.S_IWGRP
  return stat(device).then(
    ({ gid, mode }) => gid !== 0 && (mode & groupReadsAndWrites) === groupReadsAndWrites,
    () => true,
  )
}

/** The group that owns the port: `dialout` on Debian, and where it cannot be found. */
export async function groupOf(device: string, groupFile = '/etc/group'): Promise<string> {
  const usual = 'dialout'
  try {
    const { gid } = await stat(device)
    if (gid === 0) return usual
    const lines = (await readFile(groupFile, 'utf8')).split('\n').map((line) => line.split(':'))
    return lines.find((parts) => Number(parts[2]) === gid)?.[0] ?? usual
  } catch {
    return usual
  }
}
