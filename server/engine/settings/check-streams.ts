import type { Examination, SettingPath } from './findings.ts'
import { didYouMean } from './nearest.ts'
import { profileFindings } from './read-profile.ts'

/** Streams against their profiles and against each other. */
export function checkStreams(of: Examination): void {
  const { streams } = of.file
  of.unique(
    streams.map((_, place) => ['streams', place, 'id']),
    of.streamIds,
    'the id',
  )
  // A serial port has one reader; a TCP server may well serve several.
  of.unique(
    streams.map((_, place) => ['streams', place, 'source', 'path']),
    streams.map(({ source }, place) =>
      source.kind === 'serial' && !of.unsure.streams.has(place) ? source.path : undefined,
    ),
    'the port',
  )
  streams.forEach((stream, place) => {
    const { profile, source } = stream
    if (of.unsure.streams.has(place)) return
    const at = (...keys: SettingPath): SettingPath => ['streams', place, ...keys]
    if (stream.poll && source.kind !== 'serial' && source.kind !== 'tcp')
      of.add(at('poll'), `does not fit a source of kind "${source.kind}", which cannot be asked; leave it out`)
    if (typeof profile === 'string') return
    for (const { path, message } of profileFindings(profile)) of.add(at('profile', ...path), message)
    if (stream.timeFrom === 'line' && !profile.time)
      of.add(at('timeFrom'), '"line" needs a time in the line; set profile.time, or use "arrival"')
    const { state, field } = profile.dilution
    const told = state === 'not-in-the-values' && field !== undefined
    if (stream.dilution !== undefined && state === 'in-the-values')
      of.add(
        at('dilution'),
        `${stream.dilution} would be applied twice: by the profile the dilution is in the values already; leave it out`,
      )
    if (stream.dilution !== undefined && told)
      of.add(
        at('dilution'),
        `${stream.dilution} does not fit a factor that the line tells in field "${field}"; leave one of them out`,
      )
    if (stream.dilution === undefined && state === 'not-in-the-values' && !told)
      of.add(at('dilution'), 'is missing; by the profile the dilution is not in the values, so its factor must be set')
  })
}

export function checkTimeZone(of: Examination): void {
  const { timeZone } = of.file.station
  if (isTimeZone(timeZone) || of.unsure.settings.has('station.timeZone')) return
  of.add(
    ['station', 'timeZone'],
    `"${timeZone}" is no time zone; use a name as Europe/Vienna, or UTC${didYouMean(timeZone, ['UTC', ...Intl.supportedValuesOf('timeZone')])}`,
  )
}

function isTimeZone(name: string): boolean {
  if (!/^[A-Za-z]/.test(name)) return false
  try {
    return new Intl.DateTimeFormat('en', { timeZone: name }).format(0) !== ''
  } catch {
    return false // The constructor throws for a name that it does not know.
  }
}
