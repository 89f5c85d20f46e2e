import type { StoodFor } from '../../../protocols/instrument/check-profile.ts'
import type { Finding, SettingPath } from './findings.ts'
import { isRecord } from './regimes.ts'

type Draft = Record<string, unknown>

/** Whatever stands in these, the form cuts a line alike. */
const besideForm: ReadonlySet<string> = new Set([
  'skipLines',
  'comment',
  'missing',
  'over',
  'under',
  'encoding',
  'time',
  'dilution',
  'checksum',
])

/**
 * A line profile without the parts at fault, a stand-in for each that must be there; null where nothing is left to be checked.
 * What is told beside it: the parts against which the others cannot be held.
 */
export function withoutFaults(
  raw: Readonly<Record<string, unknown>>,
  faults: readonly Finding[],
): (StoodFor & { readonly raw: unknown }) | null {
  const draft: Draft = structuredClone(raw)
  const places = new Set<string>()
  let form = false
  let names = false
  for (const { path } of faults) {
    const [key, place, inner] = path
    if (key === undefined || key === 'form') return null
    switch (key) {
      case 'name':
        draft['name'] = '?'
        break
      case 'pattern':
        draft['pattern'] = '.'
        form = true
        break
      case 'fields':
        if (!Array.isArray(draft['fields']) || typeof place !== 'number') {
          draft['fields'] = [{ name: '?', at: 0 }]
          places.add('fields[0].at')
          names = true
        } else {
          if (inner === 'name' || inner === undefined) names = true
          if (inner === 'at' || inner === undefined) places.add(`fields[${place}].at`)
          draft['fields'][place] = fieldWithout(draft['fields'][place], place, inner)
        }
        break
      case 'status':
        if (Array.isArray(draft['status']) && typeof place === 'number')
          draft['status'][place] = ruleWithout(draft['status'][place], path.slice(2))
        else delete draft['status']
        break
      default:
        delete draft[String(key)]
        form ||= !besideForm.has(String(key))
    }
  }
  return { raw: draft, form, names, places }
}

function fieldWithout(field: unknown, place: number, key: string | number | undefined): Draft {
  const { name = `? ${place}`, at = 0, ...rest } = isRecord(field) && key !== undefined ? field : {}
  const left: Draft = { ...rest, name: key === 'name' ? `? ${place}` : name, at: key === 'at' ? 0 : at }
  if (key !== 'name' && key !== 'at') delete left[String(key)]
  return left
}

/** A fault in what a token tells leaves the token. */
function ruleWithout(rule: unknown, [key, token, told]: SettingPath): Draft {
  if (!isRecord(rule) || key === undefined) return { tokens: {} }
  const tokens = isRecord(rule['tokens']) ? rule['tokens'] : {}
  if (key !== 'tokens') return { ...without(rule, key), tokens }
  if (token === undefined) return { ...rule, tokens: {} }
  return { ...rule, tokens: { ...without(tokens, token), ...(told === undefined ? {} : { [token]: {} }) } }
}

const without = (part: Readonly<Record<string, unknown>>, key: string | number): Draft => {
  const { [key]: _, ...rest } = part
  return rest
}
