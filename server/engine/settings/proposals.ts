import type { SettingPath } from './findings.ts'
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

/** What the profile proposes at a path such as `channels`, 2, `unit`; undefined where it proposes nothing there. */
export function proposalAt(raw: Readonly<Record<string, unknown>>, path: SettingPath): unknown {
  const [, place, key] = path
  const channel = Array.isArray(raw.channels) ? raw.channels[Number(place)] : undefined
  if (!isRecord(channel) || !Array.isArray(raw.streams) || path.length !== 3) return undefined
  return (proposed as readonly unknown[]).includes(key)
    ? fieldOf(raw.streams, channel.stream, channel.field)?.[String(key)]
    : undefined
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
