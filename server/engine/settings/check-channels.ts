import { gasUnits, physicalUnits } from '../../../protocols/words/units.ts'
import { unitKind } from '../conversions/units.ts'
import type { Examination, SettingPath } from './findings.ts'
import { didYouMean } from './nearest.ts'
import type { ChannelSettings } from './station-shape.ts'

/** Channels by themselves, against their profile's fields, and sums against their members. */
export function checkChannels(of: Examination): void {
  of.unique(
    of.file.channels.map((_, place) => ['channels', place, 'id']),
    of.channelIds,
    'the id',
  )
  of.file.channels.forEach((channel, place) => {
    const at = (...keys: SettingPath): SettingPath => ['channels', place, ...keys]
    channel.needs.forEach((need, number) => {
      const found = of.channel(at('needs', number, 'channel'), need.channel)
      if (found?.id === channel.id)
        of.add(at('needs', number, 'channel'), `"${need.channel}" is the channel itself; name a supporting channel`)
      if (need.between[0] > need.between[1])
        of.add(at('needs', number, 'between'), `[${need.between}] holds no value; write the lower one first`)
    })
    if (of.unsure.channels.has(place)) return
    checkWhat(of, channel, at)
    checkWhence(of, channel, at)
    if (channel.range && channel.range[0] >= channel.range[1])
      of.add(at('range'), `[${channel.range}] is no range; write [low, high] with low below high`)
    if (channel.referenceOxygen !== undefined && channel.species === undefined)
      of.add(
        at('referenceOxygen'),
        `${channel.referenceOxygen} does not fit ${channel.id}, which is no gas; leave it out`,
      )
  })
}

type At = (...keys: SettingPath) => SettingPath

/** Exactly one of species and quantity, in a unit that fits. */
function checkWhat(of: Examination, { id, species, quantity, unit }: ChannelSettings, at: At): void {
  const fitting: readonly string[] = species === undefined ? physicalUnits[quantity ?? 'ratio'] : gasUnits
  if (species !== undefined && quantity !== undefined)
    of.add(at('quantity'), `"${quantity}" beside species "${species}": a channel has one of them`)
  else if (species === undefined && quantity === undefined)
    of.add(at('species'), `is missing; ${id} needs a species (a gas) or a quantity`)
  else if (!fitting.includes(unit))
    of.add(
      at('unit'),
      `"${unit}" does not fit ${species ?? quantity}; use ${fitting.join(', ')}${didYouMean(unit, fitting)}`,
    )
}

/** Exactly one of a field of a stream and a sum. */
function checkWhence(of: Examination, channel: ChannelSettings, at: At): void {
  const { stream, field, sumOf } = channel
  if (sumOf) {
    const alone = 'leave one of them out'
    if (stream !== undefined) of.add(at('stream'), `"${stream}" beside sumOf: a sum has no stream of its own; ${alone}`)
    if (field !== undefined) of.add(at('field'), `"${field}" beside sumOf: a sum has no field of its own; ${alone}`)
    checkSum(of, channel, sumOf, at)
    return
  }
  if (field === undefined) of.add(at('field'), `is missing; ${channel.id} needs stream and field, or sumOf`)
  if (stream === undefined) {
    of.add(at('stream'), `is missing; ${of.areStreams}`)
    return
  }
  const place = of.stream(at('stream'), stream)
  if (place >= 0 && field !== undefined) checkField(of, channel, place, field, at)
}

/** The profile must have the field, in the unit that the channel says. */
function checkField(of: Examination, channel: ChannelSettings, place: number, field: string, at: At): void {
  const profile = of.file.streams[place]?.profile
  if (profile === undefined || typeof profile === 'string' || of.unsure.streams.has(place)) return
  const names = profile.fields.map(({ name }) => name)
  const found = profile.fields[names.indexOf(field)]
  if (!found)
    of.add(
      at('field'),
      `"${field}" is no field of the profile; fields are ${names.join(', ')}${didYouMean(field, names)}`,
    )
  else if (found.unit !== undefined && found.unit !== channel.unit && !of.has(...at('unit')))
    of.add(
      at('unit'),
      `"${channel.unit}" is not what the profile reads for "${field}", which is in ${found.unit}; use ${found.unit}, or correct the profile`,
    )
}

function checkSum(of: Examination, channel: ChannelSettings, sumOf: readonly string[], at: At): void {
  if (channel.species === undefined) of.add(at('sumOf'), 'needs a species: only gases are summed')
  else if (unitKind(channel.unit) !== 'fraction')
    of.add(at('unit'), `"${channel.unit}" does not fit a sum, which is formed of volume fractions; use ppm`)
  of.unique(
    sumOf.map((_, number) => at('sumOf', number)),
    sumOf,
    'a member',
  )
  const first = of.file.channels[of.channelIds.indexOf(sumOf[0] ?? '')]
  sumOf.forEach((id, number) => {
    const path = at('sumOf', number)
    const member = id === channel.id ? channel : of.channel(path, id)
    const fault = member && of.isSure(id) ? memberFault(member, channel, first) : null
    if (fault !== null) of.add(path, `"${id}" ${fault}`)
  })
}

/** Why a channel cannot be a member of a sum; null where it can. `first`: the sum's first member. */
function memberFault(member: ChannelSettings, sum: ChannelSettings, first: ChannelSettings | undefined): string | null {
  if (member.id === sum.id) return 'is the sum itself; name the channels that it is made of'
  if (member.sumOf) return 'is itself a sum; name its members'
  if (member.species === undefined || unitKind(member.unit) !== 'fraction')
    return `is in ${member.unit}; only gases in vol%, ppm or ppb are summed`
  if (member.referenceOxygen !== undefined)
    return `is already referred to ${member.referenceOxygen} vol% O2; only unreferred gases are summed`
  if (member.basis !== sum.basis) return `is ${member.basis} and the sum is ${sum.basis}; give both the same basis`
  if (first && !first.sumOf && member.stream !== first.stream)
    return `is of stream "${member.stream}" and "${first.id}" of "${first.stream}"; a sum is formed line by line, of one stream`
  return null
}
