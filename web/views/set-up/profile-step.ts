import { html, nothing } from 'lit'
import {
  faultWords,
  type InstrumentFault,
  instrumentFaults,
  type ToldPhase,
  toldPhases,
} from '../../../protocols/words/phases.ts'
import { decimalMark, decimalMarks } from '../../texts/averages.ts'
import { phaseWords } from '../../texts/phases.ts'
import * as setUpTexts from '../../texts/set-up.ts'
import { list, record } from './draft.ts'
import { choiceField, textField } from './fields.ts'
import type { Settings } from './questions.ts'
import type { SetUpWork } from './work.ts'

interface StatusRule {
  readonly field?: string
  readonly tokens: Record<string, Settings>
}
const rulesOf = (work: SetUpWork): StatusRule[] =>
  list(work.profile?.status).map((rule) => ({ ...rule, tokens: record(rule.tokens) as StatusRule['tokens'] }))

const tellsOptions: readonly (readonly [string, string])[] = [
  ['', setUpTexts.notKnown],
  ['clears', setUpTexts.noFaultStands],
  ...toldPhases.map((phase) => [`phase:${phase}`, phaseWords[phase]] as const),
  ...instrumentFaults.map((fault) => [`fault:${fault}`, setUpTexts.fault(faultWords[fault])] as const),
]
const keyOf = (tells: Settings): string =>
  tells.phase ? `phase:${tells.phase}` : tells.fault ? `fault:${tells.fault}` : tells.clears ? 'clears' : ''
const tellsOf = (key: string): Settings => {
  const [kind, what] = key.split(':')
  if (kind === 'phase') return { phase: what as ToldPhase }
  if (kind === 'fault') return { fault: what as InstrumentFault }
  return kind === 'clears' ? { clears: true } : {}
}

/** Sure guesses need no look; the unsure ones come first. */
export function guessList(work: SetUpWork) {
  const { proposal } = work
  if (!proposal?.ok) return nothing
  // A unit that was chosen meanwhile is no question any more.
  const lacksUnit = work.columns.some(({ what, unit }) => what !== '' && unit === '')
  const unnamed = proposal.unnamed.filter((sentence) => lacksUnit || !sentence.startsWith('the unit'))
  const guesses = proposal.guesses.toSorted((one, other) => one.confidence - other.confidence)
  return html`${unnamed.length > 0 ? html`<div class="asks"><h3>${setUpTexts.onlyYou}</h3><ul>${unnamed.map((sentence) => html`<li>${sentence}</li>`)}</ul></div>` : nothing}
    <details><summary>${setUpTexts.guessed}</summary><ul class="guesses">${guesses.map(({ what, value, confidence, reason }) => html`<li><span class="share">${Math.round(confidence * 100)} %</span> <span><b>${what}</b>: ${value} <span class="soft">(${reason})</span></span></li>`)}</ul></details>`
}

/** The words by which the instrument tells its phase and faults. */
export function statusWords(work: SetUpWork) {
  const rules = rulesOf(work)
  const put = (place: number, tokens: Record<string, Settings>) =>
    work.setProfile(
      'status',
      rules.map((rule, at) => (at === place ? { ...rule, tokens } : rule)),
    )
  if (rules.length === 0) return html`<p class="soft">${setUpTexts.noStatusWord}</p>`
  const tellsMeasuring = rules.some(({ tokens }) => Object.values(tokens).some(({ phase }) => phase === 'measure'))
  const caution =
    tellsMeasuring || work.station?.otherwise === 'measure'
      ? nothing
      : html`<p class="caution">${setUpTexts.nothingMeasures}</p>`
  return html`${caution}${rules.map((rule, place) => {
    const field = rule.field ?? ''
    const strange = [...(work.strangeWords.get(field) ?? [])].filter((word) => !(word in rule.tokens))
    const words: [string, Settings][] = [
      ...Object.entries(rule.tokens),
      ...strange.map((word): [string, Settings] => [word, {}]),
    ]
    const choose = (word: string, key: string) => {
      const { [word]: _, ...others } = rule.tokens
      // A word that is not known stands in no rule: then the station counts it as unknown, and it passes for nothing.
      if (key === '') work.addWord(field, word)
      put(place, key === '' ? others : { ...rule.tokens, [word]: tellsOf(key) })
    }
    return html`<fieldset class="words"><legend>${rule.field ? setUpTexts.wordsIn(rule.field) : setUpTexts.wordsAlone}</legend>
      ${words.map(([word, tells], at) => choiceField({ id: `word-${place}-${at}`, label: word }, keyOf(tells), tellsOptions, (key) => choose(word, key)))}
      ${textField(
        { id: `more-${place}`, label: setUpTexts.anotherWord, hint: setUpTexts.anotherWordHint },
        '',
        (word) => {
          if (word.trim() !== '') work.addWord(field, word.trim())
        },
        { clears: true },
      )}</fieldset>`
  })}`
}

/** What a profile takes for “no value” if it says nothing; a list of its own takes their place. */
const knownMissing = ['', '-', '--', '---', '----']
const tokensText = (value: unknown, known: readonly string[]): string =>
  Array.isArray(value) ? value.filter((token) => token !== '' && !known.includes(token)).join(' ') : ''
const tokensOf = (text: string): string[] => text.split(/\s+/).filter((token) => token !== '')

/** Settings of the form, for whoever has to correct them. */
export function profileSettings(work: SetUpWork) {
  const { profile } = work
  if (!profile) return nothing
  const time = (profile.time ?? null) as { fields: unknown[]; format: string; zone?: string } | null
  const plain = (id: string, label: string, key: string, usual = '', hint?: string) =>
    textField({ id, label, ...(hint ? { hint } : {}) }, String(profile[key] ?? usual), (value) =>
      work.setProfile(key, value),
    )
  const marks = (id: string, label: string, key: string, known: readonly string[] = []) =>
    textField(
      { id, label, hint: known.length > 0 ? setUpTexts.blanksBetweenKnown : setUpTexts.blanksBetween },
      tokensText(profile[key], known),
      (value) => work.setProfile(key, tokensOf(value).length > 0 ? [...known, ...tokensOf(value)] : undefined),
    )
  return html`<details><summary>${setUpTexts.correctForm(work.form?.nameOfForm(profile) ?? '')}</summary><div class="grid">
      ${profile.form === 'delimited' ? plain('delimiter', setUpTexts.betweenColumns, 'delimiter', ';', setUpTexts.betweenColumnsHint) : nothing}
      ${profile.form === 'key-value' ? html`${plain('between', setUpTexts.betweenParts, 'between', ';')}${plain('equals', setUpTexts.betweenNameAndValue, 'equals', '=')}` : nothing}
      ${profile.form === 'pattern' ? plain('pattern', setUpTexts.pattern, 'pattern') : nothing}
      ${choiceField({ id: 'decimal', label: decimalMark }, String(profile.decimal ?? '.'), decimalMarks, (value) =>
        work.setProfile('decimal', value),
      )}
      ${choiceField(
        { id: 'encoding', label: setUpTexts.encoding },
        String(profile.encoding ?? 'utf-8'),
        setUpTexts.encodings,
        (value) => work.setProfile('encoding', value),
      )}
      ${
        time
          ? html`${textField({ id: 'time-format', label: setUpTexts.timeFormat, hint: setUpTexts.timeFormatHint }, String(time.format ?? ''), (format) => work.setProfile('time', { ...time, format }))}
        ${textField({ id: 'time-zone', label: setUpTexts.timeZoneOfLines, hint: setUpTexts.timeZoneOfLinesHint }, time.zone ?? 'station', (zone) => work.setProfile('time', { ...time, zone }))}`
          : nothing
      }
      ${marks('missing', setUpTexts.noValueWords, 'missing', knownMissing)}${marks('over', setUpTexts.overRangeWords, 'over')}${marks('under', setUpTexts.underRangeWords, 'under')}
    </div></details>`
}
