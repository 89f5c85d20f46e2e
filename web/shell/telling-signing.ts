import { html, nothing } from 'lit'
import { plantStates, toldPhases } from '../../protocols/words/phases.ts'
import { type Asked, act } from '../answers.ts'
import type { Station } from '../store.ts'
import { mayStayEmpty, tellIt } from '../texts/dialogs.ts'
import { all } from '../texts/everywhere.ts'
import { instrument } from '../texts/links.ts'
import { phaseMeanings, phaseWords, plantWords } from '../texts/phases.ts'
import * as runTexts from '../texts/run-dialogs.ts'
import { phase as phaseLabel } from '../texts/watch.ts'
import type { Signed } from './signed-dialog.ts'

/** What the instrument and the plant are doing, as the operator says: from now on, until told otherwise. */
export function tellingSigning(station: Station, pressedMs: number): Signed {
  const { operatorTells, streams, plant } = station
  return {
    title: runTexts.tellTitle,
    about: html`<p class="soft">${runTexts.tellAbout}</p>`,
    noteLabel: mayStayEmpty,
    noteNeeded: false,
    confirm: tellIt,
    more: html`${
      operatorTells?.phase
        ? html`${streams.length > 1 ? html`<label>${instrument}<select name="stream"><option value="">${all}</option>${streams.map(({ id }) => html`<option>${id}</option>`)}</select></label>` : nothing}
      <label>${phaseLabel}<select name="phase"><option value="">${runTexts.asItIs}</option>${toldPhases.map((phase) => html`<option value=${phase}>${phaseWords[phase]}: ${phaseMeanings[phase]}</option>`)}<option value="none">${runTexts.takeMarkBack}</option></select></label>`
        : nothing
    }${
      operatorTells?.plant
        ? html`<label>${runTexts.plant}<select name="plant"><option value="">${runTexts.plantAsItIs(plantWords[plant.state])}</option>${plantStates.filter((state) => state !== 'unknown').map((state) => html`<option value=${state}>${plantWords[state]}</option>`)}</select></label>`
        : nothing
    }`,
    send: async (by, note, fields) => {
      const phase = toldPhases.find((found) => found === fields.get('phase'))
      const state = plantStates.find((found) => found === fields.get('plant'))
      const takesBack = fields.get('phase') === 'none'
      if (phase === undefined && state === undefined && !takesBack) return { ok: false, errors: [runTexts.tellWrong] }
      const stream = String(fields.get('stream') ?? '') || null
      const asked: (() => Promise<Asked<true>>)[] = []
      if (phase !== undefined || takesBack)
        asked.push(() => act({ do: 'mark-phase', by, stream, phase: phase ?? null }))
      if (state !== undefined) asked.push(() => act({ do: 'plant-state', by, state }))
      if (note) asked.push(() => act({ do: 'note', by, text: note, pressedMs }))
      for (const ask of asked) {
        const answer = await ask()
        if (!answer.ok) return answer
      }
      return { ok: true, value: true }
    },
  }
}
