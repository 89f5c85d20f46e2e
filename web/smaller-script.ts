import type { Plugin } from 'vite'

/** Blanks beside these signs mean nothing in a style sheet; those before `:` and around `+` and `-` do. */
const smallerStyles = (styles: string): string =>
  styles
    .replace(/\/\*[\s\S]*?\*\//g, '')
    .replace(/\s+/g, ' ')
    .replace(/ ?([{};,]) ?/g, '$1')
    .replace(/: /g, ':')
    .replaceAll(';}', '}')

/** In HTML only the indentation goes; a line break stays, which is a blank there. */
const smallerTemplates = (code: string): string =>
  code.replace(/\bcss`([^`]*)`/g, (_, styles: string) => `css\`${smallerStyles(styles)}\``).replace(/\n[ \t]+/g, '\n')

const text = /'(?:[^'\\]|\\.)*'|"(?:[^"\\]|\\.)*"|`[^`]*`/.source
const description = new RegExp(`z\\.describe\\(\\s*(?:${text}),?\\s*\\)`, 'g')

/** What describes a message to readers of the interface's document checks nothing. */
const withoutDescriptions = (code: string): string => code.replace(description, "z.describe('')")

const schema = /^((?:export )?const \w+ = )(z\.[^\n]*(?:\n[ \t)\]}][^\n]*)*)/gm

/** A schema that nobody on the page uses is left out of it: making one has no other effect, which the bundler cannot know. */
const onlyIfUsed = (code: string): string => code.replace(schema, '$1/* @__PURE__ */ (() => $2\n)()')

/** Ways to draw a trace that no chart here asks for: they hang on the plot, so that the bundler keeps them. */
const withoutOtherTraces = (code: string): string => code.replace(/^\s*\(paths\.(?:stepped|bars|spline)\s*=.*$/gm, '')

/** Leaves out of the page's script what does nothing there; the minifier of code leaves texts alone. */
export const smallerScript: Plugin = {
  name: 'smaller-script',
  enforce: 'pre',
  transform(code, id) {
    if (/\/web\/.*\.ts$/.test(id)) return { code: smallerTemplates(code), map: null }
    if (/\/protocols\/live\/.*\.ts$/.test(id)) return { code: onlyIfUsed(withoutDescriptions(code)), map: null }
    if (/\/uPlot\.esm\.js$/.test(id)) return { code: withoutOtherTraces(code), map: null }
    return null
  },
}
