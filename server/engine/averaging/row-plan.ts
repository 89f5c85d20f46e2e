import type { BlockReason } from '../../../protocols/words/blocks.ts'
import type { Judgement } from '../decision/judge.ts'
import type { ChannelSettings } from '../settings/station-file.ts'
import type { AveragedValue } from './average-values.ts'
import type { RowContext } from './row-context.ts'

/** What all rows of one value have in common: looked up once, since a rolling average makes a row of each value every minute. */
export interface RowPlan {
  readonly value: AveragedValue
  readonly channel: ChannelSettings
  readonly stream: string
  /** Channels that must all count. */
  readonly needs: readonly number[]
  /** Group of the value's own channel alone; -1 where it lies in another set. */
  readonly ownAlone: number
  readonly peripherals: readonly Peripheral[]
  readonly judgement: Judgement | undefined
  /** Its own cell, or that of a member of a sum, is zeroed by the instrument: nobody sees how far the zero drifted. */
  readonly zeroesItself: boolean
  readonly isZeroSubtracted: boolean
  readonly isProvisional: boolean
}

/** Oxygen or moisture that a value is converted with: the group of its channel alone, and what to say where that is invalid. */
export interface Peripheral {
  readonly alone: number
  readonly reason: BlockReason
}

const plans = new WeakMap<RowContext, readonly RowPlan[]>()

/** The plan of each value, in order. Kept as long as the context is, which never changes. */
export function rowPlans(context: RowContext): readonly RowPlan[] {
  const known = plans.get(context)
  if (known) return known
  const made = context.values.map((value) => rowPlan(context, value))
  plans.set(context, made)
  return made
}

function rowPlan(context: RowContext, value: AveragedValue): RowPlan {
  const { channels } = context.station
  const channel = channels[value.channel] as ChannelSettings
  return {
    value,
    channel,
    stream: channel.stream ?? channels.find(({ id }) => id === channel.sumOf?.[0])?.stream ?? '',
    needs: context.groups[value.group]?.needs ?? [],
    ownAlone: context.groupAlone(value.channel),
    peripherals: peripheralsOf(context, value),
    judgement: context.judgements.get(value),
    zeroesItself:
      channel.selfZeroing || channels.some(({ id, selfZeroing }) => selfZeroing && channel.sumOf?.includes(id)),
    isZeroSubtracted: context.isZeroSubtracted(value),
    isProvisional: context.isProvisional(value),
  }
}

function peripheralsOf({ plan, groupAlone }: RowContext, value: AveragedValue): Peripheral[] {
  if (!value.convert && value.quantity !== 'at_reference_oxygen') return []
  const converted =
    value.convert ??
    plan.values.find(
      ({ channel, quantity, unit }) => channel === value.channel && quantity === value.quantity && unit === value.unit,
    )
  return (converted?.inputs ?? []).flatMap((input): Peripheral[] => {
    const alone = groupAlone(input)
    if (input === value.channel || alone < 0) return []
    if (plan.oxygenChannels.has(input)) return [{ alone, reason: 'oxygen_invalid' }]
    return input === plan.moisture ? [{ alone, reason: 'peripheral_invalid' }] : []
  })
}
