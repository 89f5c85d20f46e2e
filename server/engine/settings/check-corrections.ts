import { crossMatrix } from '../corrections/cross-sensitivity.ts'
import { isDiluted, isDilutedStream } from '../corrections/diluted.ts'
import { isZeroable } from '../corrections/zeroable.ts'
import { worstCondition } from '../quality/interference.ts'
import type { Examination } from './findings.ts'
import type { ChannelSettings } from './station-shape.ts'

/** Corrections of the instrument: what excludes each other, and channels that must be able to do what is asked of them. */
export function checkCorrections(of: Examination): void {
  const { corrections, conversions } = of.file
  const path = (...rest: (string | number)[]): (string | number)[] => ['corrections', ...rest]
  if (corrections.zero === 'interpolated' && conversions.applyTo === 'readings')
    of.add(
      path('zero'),
      '"interpolated" does not go with conversions.applyTo "readings": the next zero comes after the readings have been converted; set applyTo to "blocks", or zero to "last"',
    )
  if (corrections.bias === 'run-means') checkBias(of)
  for (const id of Object.keys(corrections.cleanPurge.floors)) of.channel(path('cleanPurge', 'floors', id), id)
  for (const id of Object.keys(corrections.drift?.bases ?? {})) of.channel(path('drift', 'bases', id), id)
  if (corrections.drift?.of === 'range') checkRanges(of)
  if (corrections.zero === 'interpolated') checkDilution(of)
  checkCross(of)
}

/** Method 7E corrects the mean of readings as they were: what already moved them would be counted twice. */
function checkBias(of: Examination): void {
  const { corrections } = of.file
  if (corrections.zero !== 'none')
    of.add(
      ['corrections', 'bias'],
      `"run-means" corrects means by checks before and after, and zero "${corrections.zero}" has already done part of it; set bias to "none", or zero to "none"`,
    )
  const diluted = of.file.streams.filter(isDilutedStream)
  if (diluted.length > 0)
    of.add(
      ['corrections', 'bias'],
      `"run-means" holds means against what the instrument showed, and stream "${diluted.map(({ id }) => id).join(', ')}" multiplies by a dilution; set bias to "none"`,
    )
  const factored = Object.keys(corrections.span).filter((id) => corrections.span[id] !== 1)
  if (factored.length > 0)
    of.add(
      ['corrections', 'bias'],
      `"run-means" and the span factors of ${factored.join(', ')} would correct twice; set bias to "none", or leave the factors out`,
    )
}

/** What a value takes from several cells is brought to a later zero by one dilution factor: they must share it. */
function checkDilution(of: Examination): void {
  const { channels, corrections } = of.file
  const joined = [
    ...channels.flatMap(({ id, sumOf }) => (sumOf ? [{ id, from: sumOf }] : [])),
    ...Object.entries(corrections.crossSensitivity).map(([id, { by }]) => ({ id, from: [id, ...Object.keys(by)] })),
  ]
  for (const { id, from } of joined) {
    const kinds = channels.flatMap((channel, index) =>
      from.includes(channel.id) && isZeroable(of.file, index) ? isDiluted(of.file, channel) : [],
    )
    if (new Set(kinds).size > 1)
      of.add(
        ['corrections', 'zero'],
        `"interpolated" does not go with "${id}", which joins cells of the diluted sample with others (${from.join(', ')}); set zero to "last"`,
      )
  }
}

function checkRanges(of: Examination): void {
  const { channels, corrections } = of.file
  const lacking = channels.filter(
    ({ id, range }, index) =>
      isZeroable(of.file, index) && of.isSure(id) && !range && corrections.drift?.bases[id] === undefined,
  )
  if (lacking.length > 0)
    of.add(
      ['corrections', 'drift', 'of'],
      `"range" needs a range of ${lacking.map(({ id }) => id).join(', ')}; set channels[].range, or corrections.drift.bases`,
    )
}

function checkCross(of: Examination): void {
  const { crossSensitivity } = of.file.corrections
  const faults = of.findings.length
  for (const [id, { by }] of Object.entries(crossSensitivity)) {
    const path = ['corrections', 'crossSensitivity', id]
    const cell = of.channel(path, id)
    const fault = cell && of.isSure(id) ? cellFault(cell) : null
    if (fault) of.add(path, `"${id}" ${fault}`)
    for (const [other, coefficient] of Object.entries(by)) {
      const place = [...path, 'by', other]
      const gas = of.channel(place, other)
      if (!gas || !cell || !of.isSure(other) || !of.isSure(id)) continue
      const against = cellFault(gas)
      if (other === id) of.add(place, `"${id}" is the cell itself; its own sensitivity is 1`)
      else if (against) of.add(place, `"${other}" ${against}`)
      else if (gas.stream !== cell.stream)
        of.add(
          place,
          `"${other}" is of stream "${gas.stream}" and "${id}" of "${cell.stream}"; gases are taken out line by line, of one stream`,
        )
      else if (!Number.isFinite(coefficient)) of.add(place, `${coefficient} is no number`)
    }
  }
  if (of.findings.length > faults) return
  for (const { id } of of.file.streams) {
    const found = crossMatrix(of.file, id)
    if (found && !(found.condition <= worstCondition))
      of.add(
        ['corrections', 'crossSensitivity'],
        `the cells of stream "${id}" are too alike to be told apart: condition number ${Number.isFinite(found.condition) ? Number(found.condition.toPrecision(3)) : 'infinite'}, at most ${worstCondition} is allowed, since errors of readings grow by as much`,
      )
  }
}

/** Why a channel cannot be a cell or a gas of the matrix; null where it can. */
function cellFault(channel: ChannelSettings): string | null {
  if (channel.sumOf) return `is a sum; name its members ${channel.sumOf.join(', ')}`
  if (channel.species === undefined) return 'is no gas'
  if (channel.origin === 'computed') return 'was computed by the instrument; only what is measured can be taken out'
  if (channel.referenceOxygen !== undefined) return 'is already referred to an oxygen content'
  return null
}
