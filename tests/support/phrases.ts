import { type ESTree, parseSync, Visitor } from 'vite'

/** Attributes that are shown or read out; `label` is what parts of the page hand on to `aria-label`. */
const spokenAttributes =
  /^(?:aria-(?:label|description|valuetext|roledescription|placeholder)|title|placeholder|alt|label|data-label)$/
/** Settings of a field or a dialog that are shown whatever they look like. */
const shownProperties = /^(?:label|hint|title|placeholder|noteLabel|confirm)$/
/** Functions whose texts are names of the browser's: of elements, events, keys of a store. */
const namingCalls =
  /^(?:querySelector|querySelectorAll|matches|closest|define|addEventListener|removeEventListener|matchMedia|createElement|getContext|setAttribute|getPropertyValue)$/

/** Symbols of units and of the trade, which no language translates. */
const symbols = /(?<![\p{L}\d])(?:k|s|min|h|d|B|kB|MB|GB|TB|K|kPa|UTC)(?![\p{L}\d])/gu
const withoutSymbols = (text: string): string => text.replace(symbols, '')
const hasWords = (text: string): boolean => /\p{L}/u.test(withoutSymbols(text))

/** Outside of templates a text is told from a name by its blanks, or by a capital that begins a word. */
const readsLikeWords = (text: string): boolean => {
  const rest = withoutSymbols(text)
  if (/^\d*px /.test(text)) return false // A font.
  return (/\p{L}{2}/u.test(rest) && /\s/.test(rest)) || /^\p{Lu}\p{Ll}+(?!\p{L})/u.test(rest)
}

/** `name`: an attribute that nobody sees, as a class; `property`: what is handed on to a part, as a value. */
type Position = 'text' | 'spoken' | 'name' | 'property'
type Template = ESTree.TemplateLiteral

const positionIn = (attribute: string): Position =>
  spokenAttributes.test(attribute.replace(/^\./, '')) ? 'spoken' : /^[.?@]/.test(attribute) ? 'property' : 'name'

/** Walks through the HTML of a template: static phrases in it, and where each of its expressions stands. */
function readHtml({ quasis }: Template): {
  readonly phrases: { text: string; at: number }[]
  readonly positions: Position[]
} {
  const phrases: { text: string; at: number }[] = []
  const positions: Position[] = []
  let isInTag = false
  let quote = ''
  let attribute = ''
  for (const [place, quasi] of quasis.entries()) {
    const raw = quasi.value.raw
    let text = ''
    const say = (end: number): void => {
      if (hasWords(text)) phrases.push({ text, at: quasi.start + end })
      text = ''
    }
    for (let at = 0; at < raw.length; at++) {
      const sign = raw[at] ?? ''
      if (!isInTag) {
        if (sign === '<') {
          say(at)
          isInTag = true
          attribute = ''
          // The name of the element, or the end of one.
          at += (/^\/?[\w-]*/.exec(raw.slice(at + 1))?.[0] ?? '').length
        } else text += sign
      } else if (quote !== '') {
        if (sign === quote) {
          if (spokenAttributes.test(attribute)) say(at)
          text = ''
          quote = ''
          attribute = ''
        } else text += sign
      } else if (sign === '>') {
        isInTag = false
        attribute = ''
      } else if (sign === '"' || sign === "'") quote = sign
      else if (/\s/.test(sign)) attribute = ''
      else if (sign !== '=') attribute += sign
    }
    if (!isInTag || (quote !== '' && spokenAttributes.test(attribute))) say(raw.length)
    if (place < quasis.length - 1) {
      positions.push(!isInTag ? 'text' : positionIn(attribute))
      if (quote === '') attribute = ''
    }
  }
  return { phrases, positions }
}

/** The texts that an expression can have as its value, as far as they stand in it; calls give what they give. */
function ownTexts(node: ESTree.Node): { readonly text: string; readonly at: number }[] {
  switch (node.type) {
    case 'Literal':
      return typeof node.value === 'string' ? [{ text: node.value, at: node.start }] : []
    case 'TemplateLiteral':
      return [
        ...node.quasis.map(({ value, start }) => ({ text: value.raw, at: start })),
        ...node.expressions.flatMap(ownTexts),
      ]
    case 'ConditionalExpression':
      return [...ownTexts(node.consequent), ...ownTexts(node.alternate)]
    case 'LogicalExpression':
      return [...ownTexts(node.left), ...ownTexts(node.right)]
    case 'BinaryExpression':
      return node.operator === '+' ? [...ownTexts(node.left as ESTree.Node), ...ownTexts(node.right)] : []
    case 'ParenthesizedExpression':
    case 'TSAsExpression':
    case 'TSNonNullExpression':
      return ownTexts(node.expression)
    default:
      return []
  }
}

const calledName = ({ callee }: ESTree.CallExpression): string =>
  callee.type === 'Identifier'
    ? callee.name
    : callee.type === 'MemberExpression' && callee.property.type === 'Identifier'
      ? callee.property.name
      : ''

/**
 * Texts of the page that stand in a module instead of the catalogue, with their lines.
 *
 * Exact for templates: no letter in what is shown or read out, but what an expression gives. Elsewhere what reads like words,
 * and all that a field or a dialog is told to show; a single word in small letters is not told from a name there.
 */
export function phrasesIn(code: string): string[] {
  const { program, errors } = parseSync('module.ts', code)
  if (errors.length > 0) throw new Error(`The module cannot be read: ${errors[0]?.message}`)
  const found = new Map<number, string>()
  const names = new Set<number>()
  const say = ({ text, at }: { readonly text: string; readonly at: number }): void => void found.set(at, text.trim())
  const passOver = (node: ESTree.Node): void => {
    for (const { at } of ownTexts(node)) names.add(at)
  }
  const look = (text: string, at: number): void => {
    if (!names.has(at) && readsLikeWords(text)) say({ text, at })
  }
  // Two walks: what is a name, or was looked at already, must be known before the rest is read.
  new Visitor({
    TaggedTemplateExpression({ tag, quasi }) {
      for (const { start } of quasi.quasis) names.add(start)
      if (tag.type !== 'Identifier' || (tag.name !== 'html' && tag.name !== 'svg')) return
      const { phrases, positions } = readHtml(quasi)
      phrases.forEach(say)
      quasi.expressions.forEach((expression, place) => {
        const position = positions[place]
        if (position === 'text' || position === 'spoken')
          for (const each of ownTexts(expression)) if (hasWords(each.text)) say(each)
        if (position !== 'property') passOver(expression)
      })
    },
    CallExpression(call) {
      if (namingCalls.test(calledName(call))) call.arguments.forEach(passOver)
    },
    ImportDeclaration: ({ source }) => void names.add(source.start),
    ExportNamedDeclaration: ({ source }) => void (source && names.add(source.start)),
    // What the station’s own words are compared with is not shown.
    BinaryExpression({ operator, left, right }) {
      if (/^[!=]==$/.test(operator)) for (const side of [left, right]) passOver(side as ESTree.Node)
    },
    SwitchCase: ({ test }) => void (test && passOver(test)),
    TSLiteralType: ({ literal }) => passOver(literal),
    TSPropertySignature: ({ key }) => passOver(key),
    Property({ key, value }) {
      passOver(key)
      if (key.type === 'Identifier' && shownProperties.test(key.name))
        for (const each of ownTexts(value)) if (hasWords(each.text)) say(each)
    },
  }).visit(program)
  new Visitor({
    Literal: ({ value, start }) => void (typeof value === 'string' && look(value, start)),
    TemplateElement: ({ value, start }) => look(value.raw, start),
  }).visit(program)
  const line = (at: number): number => code.slice(0, at).split('\n').length
  return [...found].sort(([one], [other]) => one - other).map(([at, text]) => `${line(at)}: ${text}`)
}
