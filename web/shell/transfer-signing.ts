import { html } from 'lit'
import type { ChannelInfo } from '../../protocols/live/messages.ts'
import { act } from '../answers.ts'
import { numberText } from '../format/numbers.ts'
import { timeText } from '../format/times.ts'
import { unitName } from '../format/units.ts'
import type { ValueWindow } from '../recent-readings.ts'
import type { Session } from '../session.ts'
import type { Station } from '../store.ts'
import { mayStayEmpty } from '../texts/dialogs.ts'
import * as logbookTexts from '../texts/logbook.ts'
import { transferOf } from '../transfer-check.ts'
import type { Signed } from './signed-dialog.ts'

const aroundMs = 5000

/** The operator types what the instrument's display shows; it is compared with the lines around the press and kept. */
export function transferSigning(session: Pick<Session, 'recent'>, station: Station, pressedMs: number): Signed {
  const slowest = Math.max(...station.streams.map((stream) => stream.expectEverySeconds * 1000))
  const around = Math.max(aroundMs, 3 * slowest) * Math.max(1, station.clock.speed)
  const window = session.recent.open(pressedMs - around, pressedMs + around)
  const read = station.channels.filter((channel) =>
    station.readings.some(({ values }) => typeof values[channel.id]?.asRead === 'number'),
  )
  // Before the first line all may be typed: the lines around the press are still to come.
  const channels = read.length ? read : station.channels
  let asked = ''
  return {
    title: logbookTexts.transferTitle,
    about: html`<p class="soft">${logbookTexts.transferAbout} ${logbookTexts.transferStamped(timeText(pressedMs, station.clock))}</p><p class="soft small">${logbookTexts.transferRule}</p>`,
    more: html`<div class="figures">${channels.map((channel) => html`<label>${channel.name}, ${unitName(channel.unit)}<input name=${`figure-${channel.id}`} inputmode="decimal" autocomplete="off" maxlength="12" /></label>`)}</div>`,
    noteLabel: mayStayEmpty,
    noteNeeded: false,
    confirm: logbookTexts.transferConfirm,
    send: async (by, note, fields) => {
      const found = channels.flatMap((channel) => {
        const typed = String(fields.get(`figure-${channel.id}`) ?? '').trim()
        return typed ? [compared(channel, typed, window)] : []
      })
      if (!found.length) return { ok: false, errors: [logbookTexts.transferNeeded] }
      const unread = found.filter(({ isNumber }) => !isNumber)
      if (unread.length) return { ok: false, errors: unread.map(({ text }) => text) }
      const off = found.filter(({ agrees }) => !agrees)
      const text = `${logbookTexts.transferOf(found.length - off.length, found.length, found.map((one) => one.text).join('; '))}${note ? ` ${note}` : ''}`
      // What differs is shown before it is kept: a slip of the finger is more likely than a wrong line.
      if (off.length && asked !== text) {
        asked = text
        return {
          ok: false,
          errors: [...off.map((one) => one.text), logbookTexts.transferLookAgain],
        }
      }
      return act({ do: 'note', by, text: text.slice(0, 2000), pressedMs })
    },
  }
}

function compared(channel: ChannelInfo, typed: string, window: ValueWindow) {
  const lines = window.of(channel.id)
  const found = transferOf(typed, lines)
  const figure = (value: number) => numberText(value, channel.decimals)
  const said = lines
    ? logbookTexts.transferLines(
        figure(lines.low),
        lines.low === lines.high ? null : figure(lines.high),
        unitName(channel.unit),
      )
    : ''
  const verdict = {
    agrees: logbookTexts.transferAgrees(said),
    differs: logbookTexts.transferDiffers(said, found.kind === 'differs' ? figure(found.by) : ''),
    'no-lines': logbookTexts.transferNoLines,
    'no-number': logbookTexts.transferNoNumber,
  }[found.kind]
  return {
    agrees: found.kind === 'agrees',
    isNumber: found.kind !== 'no-number',
    text: logbookTexts.transferFigure(channel.name, typed, verdict),
  }
}
