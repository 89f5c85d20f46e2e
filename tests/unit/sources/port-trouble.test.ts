import { chmodSync, chownSync, mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { portHolders } from '../../../server/sources/port-holders.ts'
import { groupOf, openTrouble } from '../../../server/sources/port-trouble.ts'
import { portTexts } from '../../../server/sources/trouble-texts.ts'

let folder: string
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'port-'))
})
afterEach(() => rmSync(folder, { recursive: true }))

test.each([
  ['Error: No such file or directory, cannot open /dev/null', /is not there; check that the adapter/],
  ['Error: Permission denied, cannot open /dev/null', /no permission .* into the group dialout/],
  ['Error: Inappropriate ioctl for device, cannot get/set', /is not a serial port/],
  ['Error: Invalid argument setting custom baud rate of 12345', /does not take the settings .* check baudRate/],
  // The texts of the serial binding, its serialport_unix.cpp; the numbers are its own and say nothing to an operator.
  [
    'Error: Invalid parity setting 2',
    /knows no parity "mark" or "space" .* only "none", "even" and "odd"; for "mark" set/,
  ],
  ['Error: Invalid stop bits setting 2', /knows no 1\.5 stop bits .* only 1 and 2; set stopBits 1/],
  ['Error Resource temporarily unavailable Cannot lock port', /is in use by another program, .*fuser/],
  ['Error: Input/output error', /cannot be opened: Error: Input\/output error/],
])('the binding says "%s": the operator reads what to do', async (said, expected) => {
  expect(await openTrouble(new Error(said), '/dev/full', 'the port')).toMatch(expected)
})

test('the holder of a port is named', async () => {
  mkdirSync(join(folder, '77', 'fd'), { recursive: true })
  writeFileSync(join(folder, '77', 'comm'), 'minicat\n')
  symlinkSync('/dev/ttyUSB0', join(folder, '77', 'fd', '3'))
  mkdirSync(join(folder, '78', 'fd'), { recursive: true })
  symlinkSync('/dev/ttyUSB1', join(folder, '78', 'fd', '3'))
  const holders = await portHolders('/dev/ttyUSB0', folder)
  expect(holders).toEqual([{ pid: 77, name: 'minicat' }])
  expect(portTexts.busy('/dev/ttyUSB0', holders, 1)).toBe(
    '/dev/ttyUSB0 is in use by minicat (process 77); end that program',
  )
  expect(portTexts.busy('/dev/ttyUSB0', holders, 77)).toMatch(/another stream of this station/)
})

test('a machine without /proc knows no holders', async () => {
  expect(await portHolders('/dev/ttyUSB0', join(folder, 'no-proc'))).toEqual([])
})

test('the group is the one that owns the port, dialout where that is root or unknown', async () => {
  const groupFile = join(folder, 'group')
  writeFileSync(groupFile, `root:x:0:\nfield:x:${process.getgid?.()}:\n`)
  const device = join(folder, 'ttyUSB0')
  writeFileSync(device, '')
  expect(await groupOf(device, groupFile)).toBe(process.getgid?.() === 0 ? 'dialout' : 'field')
  expect(await groupOf(join(folder, 'gone'), groupFile)).toBe('dialout')
})

test('where the rights of a port let in no group, it is not called enough to be in one', async () => {
  const device = join(folder, 'ttyS0')
  writeFileSync(device, '')
  // As root the file would belong to the group of root, which a port does not; 20 is that of ports on Debian.
  if (process.getgid?.() === 0) chownSync(device, 0, 20)
  const said = () => openTrouble(new Error('Error: Permission denied, cannot open'), device, 'the port')
  chmodSync(device, 0o660)
  expect(await said()).toMatch(/^no permission to open the port; let this user into the group/)
  chmodSync(device, 0o600)
  expect(await said()).toMatch(
    /its own rights let in its owner alone; .*"sudo chgrp dialout \S+\/ttyS0 && sudo chmod g\+rw \S+\/ttyS0".*udev rule/,
  )
})
