import { html, nothing } from 'lit'
import { plantStates, toldPhases } from '../../protocols/words/phases.ts'
import { type Asked, act } from '../answers.ts'
import type { Station } from '../store.ts'
import { phaseMeanings, phaseWords, plantWords } from '../texts.ts'
import type { Signed } from './signed-dialog.ts'

/** What the instrument and the plant are doing, as the operator says: from now on, until told otherwise. */
export function tellingSigning(station: Station, pressedMs: number): Signed {
  const { operatorTells, streams, plant } = station
  return {
    title: 'Tell the phase or the plant state',
    about: html`<p class="soft">Holds from now on, until it is told otherwise; the logbook keeps who told it. Only readings while measuring, with the plant running, count. Telling it here switches nothing at the instrument. Where the station file names the instrument’s status before the operator, the status wins for as long as it tells a phase.</p>`,
    noteLabel: 'Note (may stay empty)',
    noteNeeded: false,
    confirm: 'Tell it',
    more: html`${
      operatorTells?.phase
        ? html`${streams.length > 1 ? html`<label>Instrument<select name="stream"><option value="">all</option>${streams.map(({ id }) => html`<option>${id}</option>`)}</select></label>` : nothing}
      <label>Phase<select name="phase"><option value="">as it is</option>${toldPhases.map((phase) => html`<option value=${phase}>${phaseWords[phase]}: ${phaseMeanings[phase]}</option>`)}<option value="none">take my mark back</option></select></label>`
        : nothing
    }${
      operatorTells?.plant
        ? html`<label>Plant<select name="plant"><option value="">as it is: ${plantWords[plant.state]}</option>${plantStates.filter((state) => state !== 'unknown').map((state) => html`<option value=${state}>${plantWords[state]}</option>`)}</select></label>`
        : nothing
    }`,
    send: async (by, note, fields) => {
      const phase = toldPhases.find((found) => found === fields.get('phase'))
      const state = plantStates.find((found) => found === fields.get('plant'))
      const takesBack = fields.get('phase') === 'none'
      if (phase === undefined && state === undefined && !takesBack)
        return { ok: false, errors: ['Choose a phase or a plant state.'] }
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
