import { z } from 'zod'
import { instrumentFaults, phaseSources, toldPhases } from '../../../protocols/words/phases.ts'
import { id, seconds } from './setting-values.ts'

const signalRule = z.strictObject({
  channel: id.describe('The channel that is looked at.'),
  enterAbove: z.number().optional().describe('The rule holds above this value.'),
  leaveBelow: z
    .number()
    .optional()
    .describe('With `enterAbove`: it holds until the value falls below this one. Lower than `enterAbove`.'),
  enterBelow: z.number().optional().describe('The rule holds below this value.'),
  leaveAbove: z
    .number()
    .optional()
    .describe('With `enterBelow`: it holds until the value rises above this one. Higher than `enterBelow`.'),
})
export const phaseSettings = z.strictObject({
  from: z
    .array(z.enum(phaseSources))
    .default(['status', 'operator'])
    .describe('Who tells, the first that has something to tell wins.'),
  schedule: z
    .array(
      z.strictObject({
        phase: z.enum(toldPhases).describe('What the instrument does then.'),
        everyMinutes: z.number().positive().describe('How often.'),
        offsetMinutes: z.number().min(0).default(0).describe('How long after midnight the first begins.'),
        lengthSeconds: z.number().positive().describe('How long it lasts.'),
      }),
    )
    .optional()
    .describe('Counted from local midnight.'),
  signal: z
    .strictObject({
      phase: z.enum(['purge', 'zero', 'standby']).default('purge').describe('The phase that is recognised.'),
      rules: z.array(signalRule).min(1).describe('All must hold.'),
      dwellSeconds: seconds.default(20).describe('How long they must hold, or one must fail, before it is believed.'),
      backDate: z
        .boolean()
        .default(true)
        .describe('The phase begins when the gas changed, not when the dwell was over: back by the slowest t95.'),
    })
    .optional()
    .describe('A phase recognised from channel values, as oxygen near that of air.'),
  otherwise: z.enum(['unknown', 'measure']).default('unknown').describe('What holds where nobody tells.'),
  settle: z
    .union([
      z.strictObject({ timesT95: z.number().min(0).max(20).describe('Multiples of the channel’s own t95.') }),
      z.strictObject({ seconds: seconds.describe('The same for all channels.') }),
    ])
    .default({ timesT95: 2 })
    .describe('How long a channel waits after a purge before it counts.'),
  per: z
    .enum(['channel', 'stream'])
    .default('channel')
    .describe('`stream`: every channel waits as long as the slowest.'),
  faultsThatStop: z
    .array(z.enum(instrumentFaults))
    .default(['condensate', 'pump-flow', 'other'])
    .describe('Faults told by the instrument that stop all readings of the stream from counting.'),
  purge: z
    .strictObject({
      longestMinutes: z.number().positive().optional().describe('A longer purge raises an alarm.'),
      atLeastEveryMinutes: z.number().positive().optional().describe('No purge within this time raises an alarm.'),
    })
    .prefault({})
    .describe('A purge that lasts longer, or that does not come within this time, raises an alarm.'),
})

export const plantState = z.discriminatedUnion('from', [
  z.strictObject({ from: z.literal('always-running').describe('Who tells the plant state.') }),
  z.strictObject({ from: z.literal('operator') }),
  z.strictObject({ from: z.literal('status') }),
  z
    .strictObject({
      from: z.literal('signal'),
      channel: id.describe('The channel that tells.'),
      runningAbove: z.number().describe('Above: running.'),
      offBelow: z.number().describe('Below: off.'),
      dwellSeconds: seconds.default(10).describe('How long before a change is believed.'),
    })
    .describe(
      'Above: running. Below `offBelow`: off. Between: shut-down coming from running, start-up coming from off.',
    ),
])
