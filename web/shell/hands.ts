import type { LogbookEntry } from '../../protocols/live/messages.ts'
import type { Session } from '../session.ts'
import { inOrder, isResettable, needsHand } from './alarm-order.ts'
import { type AlarmAct, alarmSigning } from './alarm-signings.ts'
import { canTell } from './can-tell.ts'
import { correctionSigning, noteSigning } from './note-signings.ts'
import { cancelRunSigning, endRunSigning, startRunSigning } from './run-signings.ts'
import type { Signed, SignedDialog } from './signed-dialog.ts'
import { tellingSigning } from './telling-signing.ts'
import { transferSigning } from './transfer-signing.ts'
import './signed-dialog.ts'

/** What a hand wants to do; each opens a dialog that asks for a name. */
export type HandWish =
  | { readonly do: 'note'; readonly text?: string }
  | { readonly do: 'correct'; readonly entry: LogbookEntry }
  | { readonly do: 'alarm'; readonly act: AlarmAct; readonly alarm?: string }
  | { readonly do: 'run'; readonly act: 'start' | 'end' | 'cancel-planned' }
  | { readonly do: 'tell' }
  | { readonly do: 'transfer-check' }

/** Opens the dialog for a wish; nothing where there is nothing to do it to. `pressedMs`: station time of the press. */
export function openHand(dialog: SignedDialog, session: Session, wish: HandWish, pressedMs: number): void {
  const signed = signingFor(session, wish, pressedMs)
  if (signed) void dialog.open(signed)
}

function signingFor(session: Session, wish: HandWish, pressedMs: number): Signed | null {
  const { station } = session.state
  if (station?.mode !== 'live' || !station.streams.length) return null
  switch (wish.do) {
    case 'note':
      return noteSigning(station, pressedMs, wish.text)
    case 'correct':
      return correctionSigning(station, pressedMs, wish.entry)
    case 'alarm': {
      const alarm =
        wish.alarm === undefined
          ? inOrder(station.alarms).find((found) => needsHand(found) || (wish.act === 'reset' && isResettable(found)))
          : station.alarms.find((found) => found.alarm === wish.alarm)
      return alarm ? alarmSigning(station, alarm, wish.act) : null
    }
    case 'run':
      return wish.act === 'end'
        ? endRunSigning(station)
        : wish.act === 'cancel-planned'
          ? cancelRunSigning()
          : startRunSigning(station, pressedMs)
    case 'tell':
      return canTell(station) ? tellingSigning(station, pressedMs) : null
    case 'transfer-check':
      return transferSigning(session, station, pressedMs)
  }
}
