import type { LineProfile } from '../../../protocols/instrument/profile.ts'
import type { ExplainAnswer } from '../../../protocols/live/explain.ts'
import type { MappedChannel } from '../../engine/channel-map.ts'
import type { EngineState } from '../../engine/state.ts'
import type { Tracer } from '../../engine/tracing/tracer.ts'

const finite = (value: number): number | null => (Number.isFinite(value) ? value : null)

/** The channels that an average rests on, members of sums included, and where each stands in a line. */
export function explainedChannels(engine: EngineState, tracer: Tracer): ExplainAnswer['channels'] {
  return tracer.channels.flatMap((index) =>
    engine.streams.flatMap((stream) =>
      stream.channels
        .filter((channel) => channel.index === index)
        .map((channel) =>
          explainedChannel(engine, stream.settings.id, stream.settings.profile as LineProfile, channel),
        ),
    ),
  )
}

/** Rows of the matrix of cross-sensitivities and of its inverse; empty for a cell that answers to its own gas alone. */
function crossOf(
  { cross, station }: EngineState['context'],
  stream: string,
  index: number,
): Pick<ExplainAnswer['channels'][number], 'answersTo' | 'solvedFrom'> {
  const idOf = (channel: number): string => station.channels[channel]?.id ?? ''
  const parts = cross.get(stream)?.partsOf(index) ?? []
  if (parts.length < 2) return { answersTo: [], solvedFrom: [] }
  const told = station.corrections.crossSensitivity[idOf(index)]?.by ?? {}
  return {
    answersTo: [
      { channel: idOf(index), factor: 1 },
      ...Object.entries(told).map(([channel, factor]) => ({ channel, factor })),
    ],
    solvedFrom: parts.map(({ channel, factor }) => ({ channel: idOf(channel), factor })),
  }
}

function explainedChannel(
  { context }: EngineState,
  stream: string,
  profile: LineProfile,
  channel: MappedChannel,
): ExplainAnswer['channels'][number] {
  const { settings } = channel
  const idOf = (index: number): string => context.station.channels[index]?.id ?? ''
  const field = profile.fields[channel.field]
  return {
    id: settings.id,
    stream,
    unit: settings.unit,
    species: settings.species ?? null,
    basis: settings.species ? settings.basis : null,
    field: field
      ? {
          name: field.name,
          at: field.at,
          form: profile.form,
          delimiter: 'delimiter' in profile ? profile.delimiter : null,
          decimal: profile.decimal,
        }
      : null,
    sumOf: channel.members.map(({ index, factor }) => ({ channel: idOf(index), factor })),
    lowest: finite(channel.lowest),
    highest: finite(channel.highest),
    needs: channel.needs.map(({ index, low, high }) => ({ channel: idOf(index), between: [low, high] })),
    waitMs: channel.waitMs,
    ...crossOf(context, stream, channel.index),
  }
}
