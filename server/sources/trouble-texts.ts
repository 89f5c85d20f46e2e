import { codeOf, whyUnreadable } from '../file-trouble.ts'
import type { PortHolder } from './port-holders.ts'

/**
 * What an operator reads when a source is in trouble: what, where, and what to do. All texts of the sources stand here.
 * A trouble that retrying cannot mend is thrown as `SourceTrouble`; all others come as link events.
 */
export class SourceTrouble extends Error {
  override name = 'SourceTrouble'
  readonly code: 'source-needs-station' | 'serial-not-loaded' | 'file-unreadable'
  constructor(code: SourceTrouble['code'], message: string, options?: ErrorOptions) {
    super(message, options)
    this.code = code
  }
}

const said = (error: unknown): string => (error instanceof Error ? error.message : String(error))

export const holderText = (holders: readonly PortHolder[]): string =>
  holders.map((holder) => `${holder.name} (process ${holder.pid})`).join(', ')

export const portTexts = {
  open: (shown: string, alsoOpenIn: readonly PortHolder[]): string =>
    alsoOpenIn.length === 0
      ? `${shown} is open`
      : `${shown} is open, but ${holderText(alsoOpenIn)} has it open too: each may get only part of the characters; end the other program`,
  missing: (shown: string): string =>
    `${shown} is not there; check that the adapter is plugged in and powered; "flueledger ports" lists the ports`,
  unknown: (name: string): string =>
    `no port is called "${name}"; "flueledger ports" lists the ports with their stable names`,
  ambiguous: (name: string, candidates: readonly string[]): string =>
    `"${name}" fits several ports: ${candidates.join(', ')}; write one of these`,
  noPermission: (shown: string, group: string): string =>
    `no permission to open ${shown}; let this user into the group ${group} ("sudo usermod -aG ${group} $USER", then log in again)`,
  noGroupLetIn: (shown: string, device: string): string =>
    `no permission to open ${shown}: its own rights let in its owner alone; give it to the group dialout ("sudo chgrp dialout ${device} && sudo chmod g+rw ${device}", until it is plugged in again; a udev rule with GROUP="dialout", MODE="0660" for good), and let this user into the group dialout ("sudo usermod -aG dialout $USER", then log in again)`,
  busy: (shown: string, holders: readonly PortHolder[], ownPid: number): string => {
    if (holders.some((holder) => holder.pid === ownPid))
      return `${shown} is in use by another stream of this station; give each stream its own port`
    if (holders.length > 0) return `${shown} is in use by ${holderText(holders)}; end that program`
    return `${shown} is in use by another program, which this user may not see ("sudo fuser -v ${shown.split(' ')[0]}" names it); end that program`
  },
  noSerialPort: (shown: string): string => `${shown} is not a serial port; "flueledger ports" lists the ports`,
  settingRefused: (shown: string, error: unknown): string =>
    `${shown} does not take the settings (${said(error)}); check baudRate, dataBits, parity, stopBits and flowControl`,
  // A mark bit looks like a stop bit, a space bit like an eighth bit that is 0: so receivers of old do it (common practice, no source).
  parityUnknown: (shown: string): string =>
    `${shown} knows no parity "mark" or "space" on this system, only "none", "even" and "odd"; for "mark" set parity "none" and stopBits 2, for "space" with 7 data bits set parity "none" and dataBits 8`,
  stopBitsUnknown: (shown: string): string =>
    `${shown} knows no 1.5 stop bits on this system, only 1 and 2; set stopBits 1, which receives 1.5 too`,
  failed: (shown: string, error: unknown): string => `${shown} cannot be opened: ${said(error)}`,
  notLoaded: (error: unknown): string =>
    `the serial port support of this installation cannot be loaded (${said(error)}); install the packages again; TCP and file sources work without it`,
  gone: (shown: string, error: unknown): string =>
    `${shown} went away${error ? ` (${said(error)})` : ''}; check the plug and the adapter's power`,
  moved: (shown: string, now: string): string => `${shown} stands for another port now: ${now}`,
  requestStuck: (shown: string): string => `${shown} took no request within 2 s; check the cable and flowControl`,
}

export const tcpTexts = {
  open: (peer: string): string => `connected to ${peer}`,
  refused: (peer: string, error: unknown): string => {
    switch (codeOf(error)) {
      case 'ECONNREFUSED':
        return `${peer} refuses the connection; check that the instrument or its adapter is on and that the port is right`
      case 'ENOTFOUND':
      case 'EAI_AGAIN':
        return `the name of ${peer} cannot be found; check host and the network's name service, or write the address`
      case 'EHOSTUNREACH':
      case 'ENETUNREACH':
      case 'ETIMEDOUT':
        return `${peer} cannot be reached (${codeOf(error)}); check cable, address and network`
      default:
        return `no connection to ${peer}: ${said(error)}`
    }
  },
  noAnswer: (peer: string): string => `${peer} did not answer within 5 s; check cable, address and any firewall`,
  ended: (peer: string): string => `${peer} ended the connection`,
  lost: (peer: string, error: unknown): string => `the connection to ${peer} broke (${said(error)})`,
  requestStuck: (peer: string): string => `${peer} took no request within 2 s`,
}

export const fileTexts = {
  open: (path: string, at: number): string => `${path} is followed from ${at === 0 ? 'its start' : `byte ${at}`}`,
  missing: (path: string): string => `${path} is not there; waiting for it`,
  folder: (path: string): string => `${path} is a folder, not a file; waiting for a file of that name`,
  special: (path: string): string => `${path} is not an ordinary file; name a file, or use a serial or tcp source`,
  outside: (path: string, target: string, folder: string): string =>
    `${path} leads to ${target}, outside of ${folder}; put the file itself there`,
  noPermission: (path: string): string => `no permission to read ${path}; let this user read it`,
  failed: (path: string, error: unknown): string => `${path} cannot be read: ${whyUnreadable(error)}`,
  removed: (path: string): string => `${path} was removed or renamed; waiting for a new one`,
  replaced: (path: string): string => `${path} was replaced by a new file; the old one was read to its end`,
  truncated: (path: string, at: number, size: number): string =>
    `${path} was cut to ${size} bytes after byte ${at} had been read; it is read from its start`,
  rewritten: (path: string): string => `${path} was written anew; it is read from its start`,
  silent: (path: string, limitMs: number): string =>
    `${path} has not grown by a line for ${Math.round(limitMs / 100) / 10} s`,
}

export const playbackTexts = {
  open: (path: string, speed: number | 'fastest'): string =>
    `${path} is played ${speed === 'fastest' ? 'as fast as possible' : `at ${speed} times its speed`}`,
  ended: (path: string, lines: number): string => `${path} is at its end after ${lines} lines`,
}
