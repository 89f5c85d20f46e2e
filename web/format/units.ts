import type { ChannelInfo, LimitInfo } from '../../protocols/live/messages.ts'
import type { AverageRow } from '../../protocols/words/blocks.ts'
import { type Unit, unitText } from '../../protocols/words/units.ts'
import { atOxygen, basisWords } from '../texts/lengths.ts'
import { numberText } from './numbers.ts'

export const unitName = (unit: string): string => unitText[unit as Unit] ?? unit
const oxygen = (percent: number) => atOxygen(numberText(percent, Number.isInteger(percent) ? 0 : 1))

/** Unit with all that belongs to it: `ppm, dry`; `mg/m³ at 3 % O₂, dry`. Referring to an oxygen content makes a value dry. */
export const channelUnitText = (channel: Pick<ChannelInfo, 'unit' | 'basis' | 'species'>): string =>
  channel.species && channel.basis ? `${unitName(channel.unit)}, ${basisWords[channel.basis]}` : unitName(channel.unit)
export const referredUnitText = (referred: NonNullable<ChannelInfo['referred']>): string =>
  `${unitName(referred.unit)} ${oxygen(referred.referenceOxygen)}, ${basisWords.dry}`
/** Beside an axis, where there is no room for the basis: `mg/m³ at 3 % O₂`. */
export const axisUnitText = (of: Pick<ChannelInfo, 'unit'> | NonNullable<ChannelInfo['referred']>): string =>
  'referenceOxygen' in of ? `${unitName(of.unit)} ${oxygen(of.referenceOxygen)}` : unitName(of.unit)
export const limitUnitText = (limit: Pick<LimitInfo, 'unit' | 'referenceOxygen' | 'basis'>): string =>
  `${unitName(limit.unit)}${limit.referenceOxygen === null ? '' : ` ${oxygen(limit.referenceOxygen)}`}, ${basisWords[limit.basis]}`
export const rowUnitText = (row: Pick<AverageRow, 'unit' | 'referenceOxygen' | 'basis'>): string =>
  `${unitName(row.unit)}${row.referenceOxygen === null ? '' : ` ${oxygen(row.referenceOxygen)}`}${row.basis ? `, ${basisWords[row.basis]}` : ''}`
