import type { Plugin } from 'vite'

/** Blanks beside these signs mean nothing in a style sheet; those before `:` and around `+` and `-` do. */
const smallerStyles = (styles: string): string =>
  styles
    .replace(/\/\*[\s\S]*?\*\//g, '')
    .replace(/\s+/g, ' ')
    .replace(/ ?([{};,]) ?/g, '$1')
    .replace(/: /g, ':')
    .replaceAll(';}', '}')
    .replace(/([ :(,])0\.(?=\d)/g, '$1.')

/** In HTML only the indentation goes; a line break stays, which is a blank there. */
const smallerTemplates = (code: string): string =>
  code.replace(/\bcss`([^`]*)`/g, (_, styles: string) => `css\`${smallerStyles(styles)}\``).replace(/\n[ \t]+/g, '\n')

const text = /'(?:[^'\\]|\\.)*'|"(?:[^"\\]|\\.)*"|`[^`]*`/.source
const described = `z\\.describe\\(\\s*(?:${text}),?\\s*\\)`
const descriptions = [new RegExp(`\\s*\\.check\\(\\s*${described},?\\s*\\)`, 'g'), new RegExp(`,\\s*${described}`, 'g')]

/** What describes a message to readers of the interface's document checks nothing. */
const withoutDescriptions = (code: string): string => descriptions.reduce((left, one) => left.replace(one, ''), code)

const schema = /^((?:export )?const \w+ = )(z\.[^\n]*(?:\n[ \t)\]}][^\n]*)*)/gm

/** A schema that nobody on the page uses is left out of it: making one has no other effect, which the bundler cannot know. */
const onlyIfUsed = (code: string): string => code.replace(schema, '$1/* @__PURE__ */ (() => $2\n)()')

/** What the chart library lends to others and no chart of the page asks for; unnamed, it goes where nothing inside uses it. */
const lent = /(?:assign|fmtNum|range\w+|orient|fmtDate|tzDate|sync|addGap|clipGaps)/.source
const unusedPaths = /paths\.(?:stepped|bars|spline)/.source
const withoutUnused = (code: string): string =>
  code.replace(new RegExp(`^\\s*\\(?(?:uPlot\\.${lent}|${unusedPaths})\\s*= \\w+\\)?;$`, 'gm'), '')

/** A schema or a directive that is put together wrongly is met by the types and by every test, not by a reader of the page. */
const madeWrongly = new RegExp(`(throw (?:new )?Error\\()(?:${text})(\\))`, 'g')

/** What a bundler calls in place of a later piece, to fetch its style sheets before it: the page's pieces have none. */
const plainLoading = 'export const __vitePreload = (load) => load()'

/** Leaves out of the page's script what does nothing there; the minifier of code leaves texts alone. */
export const smallerScript: Plugin = {
  name: 'smaller-script',
  enforce: 'pre',
  load(id) {
    return id.endsWith('vite/preload-helper.js') ? plainLoading : null
  },
  transform(code, id) {
    if (/\/web\/.*\.ts$/.test(id)) return { code: smallerTemplates(code), map: null }
    if (/\/protocols\/live\/.*\.ts$/.test(id)) return { code: onlyIfUsed(withoutDescriptions(code)), map: null }
    if (/\/(?:zod|lit-html|reactive-element)\/.*\.js$/.test(id))
      return { code: code.replace(madeWrongly, '$1$2'), map: null }
    if (id.endsWith('/uPlot.esm.js')) return { code: withoutUnused(code), map: null }
    return null
  },
}
