import type { ComparableSettings, CompareRequest } from '../../../protocols/live/compare.ts'
import { averageText } from '../../format/durations.ts'
import * as comparisonTexts from '../../texts/settings-comparison.ts'

type Changes = CompareRequest['set']

/** Lengths of blocks that are offered, ISO 8601. */
export const offeredBlocks = ['PT1M', 'PT10M', 'PT15M', 'PT30M', 'PT1H', 'PT24H'] as const
/** Shares of a block that make it valid. */
export const offeredShares = ['1/2', '2/3', '3/4', '9/10'] as const

const number = (fields: FormData, name: string): number => Number(String(fields.get(name) ?? '').replace(',', '.'))

/** What of the form differs from the settings of the recording, by the settings' paths; or what is wrong with it. */
export function triedSettings(
  fields: FormData,
  settings: ComparableSettings,
): { readonly ok: true; readonly set: Changes } | { readonly ok: false; readonly errors: readonly string[] } {
  const set: Changes = {}
  const errors: string[] = []
  const take = (path: string, label: string, present: number | undefined, name: string): void => {
    const text = String(fields.get(name) ?? '').trim()
    const value = number(fields, name)
    if (text === '' && present === undefined) return
    if (text === '' || !Number.isFinite(value)) errors.push(comparisonTexts.numberNeeded(label))
    else if (value !== present) set[path] = value
  }
  take(
    'conversions.referenceOxygen',
    comparisonTexts.ofReferenceOxygen,
    settings.conversions.referenceOxygen,
    'reference-oxygen',
  )
  const blocks = offeredBlocks.filter((length) => fields.get(`block-${length}`) !== null)
  const others = settings.averaging.blocks.filter((length) => !offeredBlocks.includes(length as never))
  const all = [...others, ...blocks]
  if (all.length === 0) errors.push(comparisonTexts.lengthNeeded)
  else if ([...all].sort().join() !== [...settings.averaging.blocks].sort().join()) set['averaging.blocks'] = all
  takeSettling(fields, settings, set, errors)
  const share = String(fields.get('validity') ?? '')
  if (share && share !== (settings.averaging.validity.minimum ?? ''))
    set['averaging.validity'] = { rule: 'fraction', minimum: share }
  settings.limits.forEach(({ value }, place) => {
    take(`limits.${place}.value`, comparisonTexts.ofLimit(place + 1), value, `limit-${place}`)
  })
  if (errors.length > 0) return { ok: false, errors }
  return Object.keys(set).length === 0 ? { ok: false, errors: [comparisonTexts.nothingDiffers] } : { ok: true, set }
}

function takeSettling(fields: FormData, settings: ComparableSettings, set: Changes, errors: string[]): void {
  const { settle } = settings.phases
  const by = fields.get('settle-by') === 'seconds' ? 'seconds' : 'timesT95'
  const value = number(fields, 'settle')
  if (!(value >= 0)) errors.push(comparisonTexts.settlingWrong)
  else if (settle[by] !== value) set['phases.settle'] = { [by]: value }
}

/** A setting that was tried, in the words of the form. */
export function changeText(path: string, from: unknown, to: unknown): string {
  const limit = /^limits\.(\d+)/.exec(path)
  const name = limit ? comparisonTexts.ofLimit(Number(limit[1]) + 1) : (namesOfTried[path] ?? path)
  return `${name}: ${triedText(from)} → ${triedText(to)}`
}
const namesOfTried: Readonly<Record<string, string>> = {
  'conversions.referenceOxygen': comparisonTexts.referenceOxygen,
  'averaging.blocks': comparisonTexts.averagesOver,
  'averaging.validity': comparisonTexts.validFrom,
  'phases.settle': comparisonTexts.settling,
}
function triedText(value: unknown): string {
  if (Array.isArray(value)) return value.map(averageText).join(', ')
  if (value === null) return '–'
  if (typeof value !== 'object') return String(value)
  const { timesT95, seconds, rule, minimum } = value as Readonly<Record<string, unknown>>
  return typeof timesT95 === 'number'
    ? comparisonTexts.timesT95(timesT95)
    : typeof seconds === 'number'
      ? comparisonTexts.inSeconds(seconds)
      : rule === 'fraction'
        ? String(minimum)
        : comparisonTexts.ownRule
}
