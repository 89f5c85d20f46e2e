import { html, nothing } from 'lit'
import { physicalQuantities } from '../../../protocols/words/quantities.ts'
import { species, speciesTable } from '../../../protocols/words/species.ts'
import { unitName } from '../../format/units.ts'
import { type ColumnDraft, isSpecies, unitsFor, type What } from './draft.ts'
import { choiceField, errorList, textField } from './fields.ts'
import { guessList, profileSettings, statusWords } from './profile-step.ts'
import type { SetUpWork } from './work.ts'

const whatOptions: readonly (readonly [string, string])[] = [
  ['', 'not used'],
  ...species.map((each) => [each, `${speciesTable[each].formula} ${speciesTable[each].name}`] as const),
  ...physicalQuantities.map((each) => [each, each] as const),
]

/** Each column of the lines: what it is, its unit, its basis, and whether the instrument measures or computes it. */
export function columnsStep(work: SetUpWork) {
  if (!work.profile) return html`<p class="soft">Columns appear here with the proposed profile.</p>`
  const withoutUnit = work.columns.filter(({ what, unit }) => what !== '' && unit === '')
  return html`${guessList(work)}
    ${withoutUnit.length > 0 ? html`<div class="row usual"><button @click=${() => work.takeUsualUnits()}>Take the usual units</button><span class="small">${withoutUnit.length} units stand nowhere in the lines. Usual are vol% for O₂ and CO₂, ppm for other gases, °C: hold them against the instrument’s display.</span></div>` : nothing}
    ${errorList(work.faultsAt('channels').length > 0 && work.built()?.placeOf.size === 0 ? work.faultsAt('channels') : [])}
    <ul class="columns">${work.columns.map((column, place) => columnRow(work, column, place))}</ul>
    <h3>Status words</h3>${statusWords(work)}
    ${profileSettings(work)}`
}

function columnRow(work: SetUpWork, column: ColumnDraft, place: number) {
  const put = (what: Partial<ColumnDraft>) => {
    Object.assign(column, what)
    work.edited()
  }
  const id = (part: string) => `column-${place}-${part}`
  const isUsed = column.what !== ''
  const choose = (what: What) => put({ what, unit: unitsFor(what).find((unit) => unit === column.unit) ?? '' })
  const sure =
    column.confidence === null ? '' : column.confidence === 0 ? '' : `${Math.round(column.confidence * 100)} % sure: `
  return html`<li class=${isUsed ? '' : 'unused'}><fieldset><legend><b>${column.label}</b> <span class="soft small">${column.samples.join(' · ')}</span></legend>
    ${choiceField({ id: id('what'), label: 'What it is', faults: [...work.faultsOfColumn(column, 'species'), ...work.faultsOfColumn(column, 'quantity')] }, column.what, whatOptions, (what) => choose(what as What))}
    ${
      isUsed
        ? html`${choiceField({ id: id('unit'), label: column.isUsualUnit ? 'Unit (usual: check it)' : 'Unit', faults: work.faultsOfColumn(column, 'unit') }, column.unit, [['', 'choose …'], ...unitsFor(column.what).map((unit) => [unit, unitName(unit) || unit] as const)], (unit) => put({ unit: unit as ColumnDraft['unit'], isUsualUnit: false }))}
      ${
        isSpecies(column.what)
          ? choiceField(
              { id: id('basis'), label: 'Basis', faults: work.faultsOfColumn(column, 'basis') },
              column.basis,
              [
                ['dry', 'dry gas'],
                ['wet', 'wet gas'],
              ],
              (basis) => put({ basis: basis === 'wet' ? 'wet' : 'dry' }),
            )
          : html`<span class="hole"></span>`
      }
      ${choiceField(
        { id: id('origin'), label: 'Origin', faults: work.faultsOfColumn(column, 'origin') },
        column.origin,
        [
          ['measured', 'measured'],
          ['computed', 'computed by the instrument'],
        ],
        (origin) => put({ origin: origin === 'computed' ? 'computed' : 'measured' }),
      )}
      ${textField({ id: id('id'), label: 'Name in exports', faults: [...work.faultsOfColumn(column, 'id'), ...work.faultsOfColumn(column, 'field')] }, column.id, (name) => put({ id: name }))}`
        : nothing
    }
    ${column.reason ? html`<p class="small soft why">${sure}${column.reason}</p>` : nothing}</fieldset></li>`
}
