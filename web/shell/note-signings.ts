import { html, nothing } from 'lit'
import type { LogbookEntry } from '../../protocols/live/messages.ts'
import { act } from '../answers.ts'
import { dayTimeText, timeText } from '../format/times.ts'
import type { Station } from '../store.ts'
import * as logbookTexts from '../texts/logbook.ts'
import type { Signed } from './signed-dialog.ts'

/** A note carries the moment of the press, however long the typing takes. `text`: a ready-made entry that was tapped. */
export function noteSigning(station: Station, pressedMs: number, text?: string): Signed {
  const caution =
    text === undefined
      ? logbookTexts.noteCaution
      : (logbookTexts.readyEntries.find((entry) => entry.text === text)?.caution ?? null)
  return {
    title: text ?? logbookTexts.note,
    about: html`<p class="soft">${logbookTexts.stamped(timeText(pressedMs, station.clock))}</p>${caution === null ? nothing : html`<p class="cautions">${caution}</p>`}`,
    noteLabel: logbookTexts.whatHappened,
    noteNeeded: true,
    confirm: logbookTexts.saveNote,
    ...(text === undefined ? { ready: logbookTexts.readyEntries.map((entry) => entry.text) } : { note: text }),
    send: (by, note) => act({ do: 'note', by, text: note, pressedMs }),
  }
}

/** A correction is a new entry that names the old one; the old one stays as it was. */
export const correctionSigning = (station: Station, pressedMs: number, entry: LogbookEntry): Signed => ({
  title: logbookTexts.correctTitle,
  about: html`<p class="soft">${logbookTexts.correctAbout(`${dayTimeText(entry.atMs, station.clock)}${entry.by ? `, ${entry.by}` : ''}`, entry.text, timeText(pressedMs, station.clock))}</p>`,
  noteLabel: logbookTexts.asItShouldRead,
  noteNeeded: true,
  note: entry.text,
  confirm: logbookTexts.saveCorrection,
  send: (by, note) => act({ do: 'note', by, text: note, pressedMs, corrects: entry.id }),
})
