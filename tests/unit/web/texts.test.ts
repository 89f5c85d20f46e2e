// biome-ignore-all lint/suspicious/noTemplateCurlyInString: the samples are sources with templates in them.
import { readdirSync, readFileSync } from 'node:fs'
import { join, relative, sep } from 'node:path'
import { describe, expect, test } from 'vitest'
import { phrasesIn } from '../../support/phrases.ts'

const web = join(import.meta.dirname, '../../../web')

/** The catalogue itself, the page of all states for developers, and what builds the page. */
const isApart = (file: string): boolean =>
  /^(?:texts|states)\//.test(file) || file === 'vite.config.ts' || file === 'smaller-script.ts'

/** What reads like words and is shown to nobody. */
const notShown = [
  'parts/copy-text.ts position:fixed;inset:0 auto auto 0;width:1px;height:1px;opacity:0', // A style.
  'session.ts not JSON', // Why a message could not be read: kept beside it, the page says that it is too old.
  'session.ts not a message',
  'shell/keys.ts input, textarea, select, dialog, [contenteditable]', // Elements that take keys for themselves.
  'store.ts protocol', // As in the session.
  'views/calculations/fields.ts is missing', // How the station begins what it says of an input.
  'views/set-up/profile-step.ts the unit', // How the station begins what it could not tell of a column.
]

test('every text of the page stands in the catalogue', () => {
  const files = readdirSync(web, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && entry.name.endsWith('.ts'))
    .map((entry) => relative(web, join(entry.parentPath, entry.name)).split(sep).join('/'))
    .filter((file) => !isApart(file))
  const found = files.flatMap((file) =>
    phrasesIn(readFileSync(join(web, file), 'utf8')).map((phrase) => `${file} ${phrase.replace(/^\d+: /, '')}`),
  )
  expect(files.length).toBeGreaterThan(100)
  expect(found.sort()).toEqual(notShown)
})

describe('a text that stands in a module is found', () => {
  test('each of several texts in one template is found', () => {
    expect(phrasesIn('html`<dt>From</dt>\n<dd title="Day">to</dd>`')).toEqual(['1: From', '2: Day', '2: to'])
  })
  test.each([
    ['in a template', 'html`<p class="soft">Nothing yet</p>`', 'Nothing yet'],
    ['in a template, one word in small letters', 'html`<dt>size</dt>`', 'size'],
    ['beside a value', 'html`<p>${count} readings</p>`', 'readings'],
    ['before a value', 'html`<label>From, ${zone}<input name="from"></label>`', 'From,'],
    ['as one letter', 'html`<button>${note} <span aria-hidden="true">n</span></button>`', 'n'],
    ['in a template inside of another', 'html`<p>${list.map((one) => html`<b>so far</b> ${one}`)}</p>`', 'so far'],
    ['in what a template chooses from', "html`<p>${isOn ? 'on' : ''}</p>`", 'on'],
    ['in what stands in for a value', "html`<p>${name ?? 'nobody'}</p>`", 'nobody'],
    ['put together with a value', 'html`<p>${`as of ${time}`}</p>`', 'as of'],
    ['in what is read out', 'html`<ul aria-label="Links"></ul>`', 'Links'],
    ['in what is read out, with a value', 'html`<ul aria-label=${`Links of ${id}`}></ul>`', 'Links of'],
    ['in what is read out, inside of quotes', 'html`<ul title="of ${id}"></ul>`', 'of'],
    ['in what is read out, after another attribute', 'html`<ul class=${tone} title="Now"></ul>`', 'Now'],
    ['as the hint of an empty field', 'html`<input .value=${value} placeholder="name, day">`', 'name, day'],
    ['in a drawing', 'svg`<text x="1">peak</text>`', 'peak'],
    ['as a sentence', "const why = 'The line is lost.'", 'The line is lost.'],
    ['as a word with a capital', "const heading = ['Start']", 'Start'],
    ['as words in small letters', "const age = stale ? 'no reading' : ''", 'no reading'],
    ['around a value', 'const age = `for ${length}`', 'for'],
    ['as the label of a field', "textField({ id: 'port', label: 'port' })", 'port'],
    ['as a property of a part', "html`<x-y .said=${'Last line'}></x-y>`", 'Last line'],
    ['in a property of a part', "html`<x-y .words=${['Last line']}></x-y>`", 'Last line'],
  ])('%s', (_, code, phrase) => {
    expect(phrasesIn(code)).toEqual([`1: ${phrase}`])
  })
})

describe('what is no text of the page is not taken for one', () => {
  test.each([
    ['a text of the catalogue', 'html`<p title=${texts.hint}>${texts.since(time)} · ${count} × ${texts.speed}</p>`'],
    ['names in markup', 'html`<svg class="wide line" role="img" viewBox="0 0 9 9"><path d="M0 2h8"></path></svg>`'],
    ['the class of an element', "html`<p class=${isOpen ? 'both open' : 'both'}></p>`"],
    ['a style', 'css`.wide { grid-column: 1 / -1; }`'],
    ['an element that is looked for', "this.renderRoot.querySelector('input, select, button')"],
    ['a word of the protocol', "const isFinal = row.state === 'too small'"],
    ['a kind', "type Mode = 'Far view' | 'near'"],
    ['a module', "import { html } from 'lit and more'"],
    ['symbols of units', 'const length = `${hours} h ${minutes} min`'],
    ['a font', 'pen.font = `${12 * ratio}px system-ui, sans-serif`'],
    ['a path', 'fetch(`api/recordings/${id}/blocks`)'],
  ])('%s', (_, code) => {
    expect(phrasesIn(code)).toEqual([])
  })
})
