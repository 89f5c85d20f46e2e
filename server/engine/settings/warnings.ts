import { durationMs } from '../../../protocols/words/time.ts'
import { isConvertible, isPollutant, moistureOf } from '../conversions/channel-gas.ts'
import { unitKind } from '../conversions/units.ts'
import { crossMatrix } from '../corrections/cross-sensitivity.ts'
import { isDiluted } from '../corrections/diluted.ts'
import { isZeroable } from '../corrections/zeroable.ts'
import { worstCondition } from '../quality/interference.ts'
import type { Finding } from './findings.ts'
import { methodNote } from './method-notes.ts'
import type { StationFile } from './station-shape.ts'

/** What is allowed and yet seldom meant. None of it stops a run. */
export function stationWarnings(station: StationFile): Finding[] {
  return [
    ...wetGases(station),
    ...unreferredLimits(station),
    ...unasked(station),
    ...sparsePolls(station),
    ...shortBlocks(station),
    ...origins(station),
    ...methods(station),
    ...undecidedVerdicts(station),
    ...unjudged(station),
    ...conditions(station),
    ...dilutedAir(station),
  ]
}

function wetGases(station: StationFile): Finding[] {
  if (moistureOf(station) !== null) return []
  return station.channels.flatMap((channel, place) =>
    channel.basis === 'wet' && channel.species !== undefined && channel.species !== 'H2O'
      ? [
          {
            path: ['channels', place, 'basis'],
            message: `${channel.id} is wet and conversions.moisture is not set: it is neither dried nor referred`,
          },
        ]
      : [],
  )
}

function unreferredLimits(station: StationFile): Finding[] {
  const reference = station.conversions.referenceOxygen
  if (reference === undefined) return []
  return station.limits.flatMap((limit, place) => {
    const channel = station.channels.find(({ id }) => id === limit.channel)
    if (limit.referenceOxygen !== undefined || !channel || !isPollutant(channel) || !isConvertible(channel)) return []
    const message = `is not set: the limit is compared at the oxygen as measured; set ${reference} if the permit means the reference`
    return unitKind(limit.unit) === 'mass' || limit.unit === station.conversions.referredUnit
      ? [{ path: ['limits', place, 'referenceOxygen'], message }]
      : []
  })
}

function unasked({ phases }: StationFile): Finding[] {
  return (['schedule', 'signal'] as const).flatMap((source) =>
    phases[source] !== undefined && !phases.from.includes(source)
      ? [{ path: ['phases', source], message: `is set and not asked: phases.from has ${phases.from.join(', ')}` }]
      : [],
  )
}

/** An answer stands for the time to the next only within 1.5 steps: asked more rarely, most of the time would not count. */
function sparsePolls({ streams }: StationFile): Finding[] {
  return streams.flatMap(({ poll, expectEverySeconds }, place) =>
    poll !== undefined && poll.everySeconds > 1.5 * expectEverySeconds
      ? [
          {
            path: ['streams', place, 'expectEverySeconds'],
            message: `${expectEverySeconds} s is how long each answer counts, and there is one every ${poll.everySeconds} s: the rest of the time counts as missing; set ${poll.everySeconds}`,
          },
        ]
      : [],
  )
}

/** How well the cells can be told apart: what is too alike is refused. */
function conditions(station: StationFile): Finding[] {
  return station.streams.flatMap(({ id }) => {
    const found = crossMatrix(station, id)
    return found
      ? [
          {
            path: ['corrections', 'crossSensitivity'],
            message: `solves the cells ${found.channels.map((index) => station.channels[index]?.id).join(', ')} together; condition number ${Number(found.condition.toPrecision(4))}: relative errors of readings grow by no more (above ${worstCondition} it is refused)`,
          },
        ]
      : []
  })
}

/** Multiplied by the factor, oxygen of a sample that was diluted with air is no oxygen of the flue gas. */
function dilutedAir(station: StationFile): Finding[] {
  return station.channels.flatMap((channel, place) =>
    (channel.species === 'O2' || channel.species === 'CO2') && isDiluted(station, channel)
      ? [
          {
            path: ['channels', place, 'diluted'],
            message: `${channel.id} is multiplied by the dilution factor: right only where the diluting gas holds none of it, as nitrogen. Set false where this cell sees the sample as it is; diluted with air it cannot be used`,
          },
        ]
      : [],
  )
}

/** A limit of drift that no purge can be held against; with span checks it works all the same. */
function unjudged(station: StationFile): Finding[] {
  const { drift, zero } = station.corrections
  if (station.regime !== 'custom' || !drift || drift.of === 'range' || zero === 'none') return []
  const lacking = station.channels.filter(
    ({ id }, index) => isZeroable(station, index) && drift.bases[id] === undefined,
  )
  const message = `have none for ${lacking.map(({ id }) => id).join(', ')}: the zeros of purges are not held against the limit, checks alone are`
  return lacking.length > 0 ? [{ path: ['corrections', 'drift', 'bases'], message }] : []
}

function shortBlocks({ averaging }: StationFile): Finding[] {
  const { validity, blocks } = averaging
  if (validity.rule !== 'minutes') return []
  const never = blocks.filter((length) => (durationMs(length) ?? 0) < validity.minimum * 60_000)
  return never.length > 0
    ? [
        {
          path: ['averaging', 'validity', 'minimum'],
          message: `${validity.minimum} minutes can never be met in ${never.join(', ')}`,
        },
      ]
    : []
}

/** The station decides; where it decides against the profile, that is said. */
function origins(station: StationFile): Finding[] {
  return station.channels.flatMap((channel, place) => {
    const profile = station.streams.find(({ id }) => id === channel.stream)?.profile
    const field = typeof profile === 'object' ? profile.fields.find(({ name }) => name === channel.field) : undefined
    return field?.origin === 'computed' && channel.origin === 'measured'
      ? [
          {
            path: ['channels', place, 'origin'],
            message: `"measured", while the profile says that the instrument computes "${field.name}"`,
          },
        ]
      : []
  })
}

/** Asked once: a station file that names its method has answered. */
function methods(station: StationFile): Finding[] {
  return station.regime === 'custom' || station.plant.method !== undefined
    ? []
    : [
        {
          path: ['plant', 'method'],
          message: `is not set: say why the method of measuring may be used here; ${methodNote(station)}`,
        },
      ]
}

function undecidedVerdicts({ results, limits }: StationFile): Finding[] {
  return results.uncertainty === undefined && limits.some(({ of }) => of !== 'reading')
    ? [
        {
          path: ['results', 'uncertainty'],
          message:
            'is not set, so averages get no verdict against their limits: set "subtract", "add" or "ignore", as the permit compares',
        },
      ]
    : []
}
