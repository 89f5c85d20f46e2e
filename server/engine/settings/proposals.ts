import { isRecord } from './regimes.ts'

/** What a profile's field may tell of a channel that its station file leaves open. */
const proposed = ['unit', 'origin', 'selfZeroing', 'diluted'] as const

/**
 * The file with its channels' `unit`, `origin`, `selfZeroing` and `diluted` taken from their profile's field, where the channel does
 * not say them itself: the profile proposes, the station decides. Profiles must stand inline.
 */
export function applyProposals(raw: unknown): unknown {
  if (!isRecord(raw) || !Array.isArray(raw.channels) || !Array.isArray(raw.streams)) return raw
  const streams: readonly unknown[] = raw.streams
  const channels = raw.channels.map((channel: unknown) => {
    if (!isRecord(channel)) return channel
    const field = fieldOf(streams, channel.stream, channel.field)
    if (field === null) return channel
    const added = proposed.filter((key) => channel[key] === undefined && field[key] !== undefined)
    return { ...channel, ...Object.fromEntries(added.map((key) => [key, field[key]])) }
  })
  return { ...raw, channels }
}

function fieldOf(
  streams: readonly unknown[],
  stream: unknown,
  name: unknown,
): Readonly<Record<string, unknown>> | null {
  const found = streams.find((one) => isRecord(one) && one.id === stream)
  const profile = isRecord(found) ? found.profile : undefined
  const fields: readonly unknown[] = isRecord(profile) && Array.isArray(profile.fields) ? profile.fields : []
  const field = fields.find((one) => isRecord(one) && one.name === name)
  return isRecord(field) ? field : null
}
