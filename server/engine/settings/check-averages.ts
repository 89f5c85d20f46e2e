import { durationMs, isoDuration } from '../../../protocols/words/time.ts'
import { plannedRecipes } from '../conversions/conversion-plan.ts'
import type { Examination, SettingPath } from './findings.ts'
import type { LimitSettings } from './station-shape.ts'

/** Averages, and the limits that are held against them. */
export function checkAverages(of: Examination): void {
  const { blocks, rolling, validity } = of.file.averaging
  for (const [key, lengths] of [
    ['blocks', blocks],
    ['rolling', rolling],
  ] as const) {
    of.unique(
      lengths.map((_, place) => ['averaging', key, place]),
      lengths,
      'a length',
    )
    lengths.forEach((length, place) => {
      canonical(of, ['averaging', key, place], length)
    })
  }
  if (validity.rule !== 'minutes') {
    const [part = 0, whole = 1] = validity.minimum.split('/').map(Number)
    if (part > whole)
      of.add(
        ['averaging', 'validity', 'minimum'],
        `"${validity.minimum}" is more than the whole; use a fraction as 2/3`,
      )
  }
}

/** `PT60M` and `PT1H` are the same length; only one spelling is used, so that averages can be found by it. */
export function canonical(of: Examination, path: SettingPath, length: string): void {
  const ms = durationMs(length)
  if (ms !== null && isoDuration(ms) !== length) of.add(path, `"${length}" is written ${isoDuration(ms)}`)
}

export function checkLimits(of: Examination): void {
  const { limits } = of.file
  of.unique(
    limits.map((_, place) => ['limits', place, 'id']),
    limits.map(({ id }) => id),
    'the id',
  )
  limits.forEach((limit, place) => {
    const channel = of.channel(['limits', place, 'channel'], limit.channel)
    if (channel && !of.unsure.limits.has(place)) checkAverageOf(of, limit, ['limits', place, 'average'])
  })
  // What a limit is formed from must be right first.
  const { channels, settings } = of.unsure
  if (channels.size > 0 || of.has('conversions') || [...settings].some((setting) => setting.startsWith('conversions')))
    return
  for (const { limit, key, message } of plannedRecipes(of.file).faults) {
    const place = of.channelIds.indexOf(limits[limit]?.channel ?? '')
    if (place >= 0 && !of.has('channels', place) && !of.unsure.limits.has(limit))
      of.add(['limits', limit, key], message)
  }
}

function checkAverageOf(of: Examination, { of: kind, average }: LimitSettings, path: SettingPath): void {
  if (kind === 'reading') {
    if (average !== undefined) of.add(path, `"${average}" does not fit a limit of readings; leave it out`)
    return
  }
  const key = kind === 'block' ? 'blocks' : 'rolling'
  const { averaging } = of.file
  const ofBlocks = averaging.ofBlocks.flatMap((one) =>
    (one.window === 'rolling') === (kind === 'rolling') ? [one.average] : [],
  )
  const others: readonly string[] = [...ofBlocks, ...(kind === 'block' && averaging.run !== 'none' ? ['run'] : [])]
  const lengths: readonly string[] = [...averaging[key], ...others]
  const own =
    averaging[key].length > 0 ? `averaging.${key} has ${averaging[key].join(', ')}` : `averaging.${key} is empty`
  const known = others.length > 0 ? `${own}; formed too: ${others.join(', ')}` : own
  if (average === undefined) of.add(path, `is missing for a limit of a ${kind} average; ${known}`)
  else if (!lengths.includes(average) && !of.unsure.settings.has(`averaging.${key}`))
    of.add(path, `"${average}" is not formed: ${known}; add it there, or use one of them`)
}

export function checkRun(of: Examination): void {
  const { start, end } = of.file.run
  if (typeof start === 'object' && end && 'at' in end && Date.parse(end.at) <= Date.parse(start.at))
    of.add(['run', 'end', 'at'], `"${end.at}" is not after the start, ${start.at}`)
}
