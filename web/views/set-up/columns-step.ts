import { html, nothing } from 'lit'
import { basisWords, originNames, physicalQuantities } from '../../../protocols/words/quantities.ts'
import { species, speciesName } from '../../../protocols/words/species.ts'
import { unitName } from '../../format/units.ts'
import * as setUpTexts from '../../texts/set-up.ts'
import { choose as chooseWord } from '../../texts/settings.ts'
import { type ColumnDraft, isSpecies, unitsFor, type What } from './draft.ts'
import { choiceField, errorList, textField } from './fields.ts'
import { guessList, profileSettings, statusWords } from './profile-step.ts'
import type { SetUpWork } from './work.ts'

const whatOptions: readonly (readonly [string, string])[] = [
  ['', setUpTexts.notUsed],
  ...species.map((each) => [each, speciesName(each)] as const),
  ...physicalQuantities.map((each) => [each, each] as const),
]

/** Each column of the lines: what it is, its unit, its basis, and whether the instrument measures or computes it. */
export function columnsStep(work: SetUpWork) {
  if (!work.profile) return html`<p class="soft">${setUpTexts.columnsToCome}</p>`
  const withoutUnit = work.columns.filter(({ what, unit }) => what !== '' && unit === '')
  return html`${guessList(work)}
    ${withoutUnit.length > 0 ? html`<div class="row usual"><button @click=${() => work.takeUsualUnits()}>${setUpTexts.takeUsualUnits}</button><span class="small">${setUpTexts.usualUnits(withoutUnit.length)}</span></div>` : nothing}
    ${errorList(work.faultsAt('channels').length > 0 && work.channelsOfStream().length === 0 ? work.faultsAt('channels') : [])}
    <ul class="columns">${work.columns.map((column, place) => columnRow(work, column, place))}</ul>
    <h3>${setUpTexts.statusWords}</h3>${statusWords(work)}
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
    column.confidence === null || column.confidence === 0 ? '' : setUpTexts.sure(Math.round(column.confidence * 100))
  return html`<li class=${isUsed ? '' : 'unused'}><fieldset><legend><b>${column.label}</b> <span class="soft small">${column.samples.join(' · ')}</span></legend>
    ${choiceField({ id: id('what'), label: setUpTexts.whatItIs, faults: [...work.faultsOfColumn(column, 'species'), ...work.faultsOfColumn(column, 'quantity')] }, column.what, whatOptions, (what) => choose(what as What))}
    ${
      isUsed
        ? html`${choiceField({ id: id('unit'), label: column.isUsualUnit ? setUpTexts.unitUsual : setUpTexts.unit, faults: work.faultsOfColumn(column, 'unit') }, column.unit, [['', chooseWord], ...unitsFor(column.what).map((unit) => [unit, unitName(unit) || unit] as const)], (unit) => put({ unit: unit as ColumnDraft['unit'], isUsualUnit: false }))}
      ${
        isSpecies(column.what)
          ? choiceField(
              { id: id('basis'), label: setUpTexts.basis, faults: work.faultsOfColumn(column, 'basis') },
              column.basis,
              Object.entries(basisWords),
              (basis) => put({ basis: basis === 'wet' ? 'wet' : 'dry' }),
            )
          : html`<span class="hole"></span>`
      }
      ${choiceField(
        { id: id('origin'), label: setUpTexts.origin, faults: work.faultsOfColumn(column, 'origin') },
        column.origin,
        Object.entries(originNames),
        (origin) => put({ origin: origin === 'computed' ? 'computed' : 'measured' }),
      )}
      ${textField({ id: id('id'), label: setUpTexts.nameInExports, faults: [...work.faultsOfColumn(column, 'id'), ...work.faultsOfColumn(column, 'field')] }, column.id, (name) => put({ id: name }))}`
        : nothing
    }
    ${column.reason ? html`<p class="small soft why">${sure}${column.reason}</p>` : nothing}</fieldset></li>`
}
