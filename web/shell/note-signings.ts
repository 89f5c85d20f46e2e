import { html, nothing } from 'lit'
import type { LogbookEntry } from '../../protocols/live/messages.ts'
import { act } from '../answers.ts'
import { dayTimeText, timeText } from '../format/times.ts'
import type { Station } from '../store.ts'
import { noteCaution, readyEntries } from '../texts/logbook.ts'
import type { Signed } from './signed-dialog.ts'

/** A note carries the moment of the press, however long the typing takes. `text`: a ready-made entry that was tapped. */
export function noteSigning(station: Station, pressedMs: number, text?: string): Signed {
  const caution =
    text === undefined ? noteCaution : (readyEntries.find((entry) => entry.text === text)?.caution ?? null)
  return {
    title: text ?? 'Note',
    about: html`<p class="soft">Stamped ${timeText(pressedMs, station.clock)}, the moment of the press.</p>${caution === null ? nothing : html`<p class="cautions">${caution}</p>`}`,
    noteLabel: 'What happened',
    noteNeeded: true,
    confirm: 'Save the note',
    ...(text === undefined ? { ready: readyEntries.map((entry) => entry.text) } : { note: text }),
    send: (by, note) => act({ do: 'note', by, text: note, pressedMs }),
  }
}

/** A correction is a new entry that names the old one; the old one stays as it was. */
export const correctionSigning = (station: Station, pressedMs: number, entry: LogbookEntry): Signed => ({
  title: 'Correct a note',
  about: html`<p class="soft">Of ${dayTimeText(entry.atMs, station.clock)}${entry.by ? `, ${entry.by}` : ''}: “${entry.text}”. It stays in the logbook; the correction stands beside it, stamped ${timeText(pressedMs, station.clock)}.</p>`,
  noteLabel: 'As it should read, and why',
  noteNeeded: true,
  note: entry.text,
  confirm: 'Save the correction',
  send: (by, note) => act({ do: 'note', by, text: note, pressedMs, corrects: entry.id }),
})
