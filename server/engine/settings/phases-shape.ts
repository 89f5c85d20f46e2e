import { z } from 'zod'
import { choice, choiceOf } from '../../../protocols/instrument/choice.ts'
import {
  faultWords,
  instrumentFaults,
  phaseSources,
  phaseSourceWords,
  phaseWords,
  toldPhases,
} from '../../../protocols/words/phases.ts'
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
    .array(choiceOf(phaseSources, phaseSourceWords).meta({ title: 'Teller' }))
    .default(['status', 'operator'])
    .describe('Who tells, the first that has something to tell wins.')
    .meta({ title: 'Told by' }),
  schedule: z
    .array(
      z.strictObject({
        phase: choiceOf(toldPhases, phaseWords).describe('What the instrument does then.'),
        everyMinutes: z.number().positive().describe('How often.').meta({ title: 'Every' }),
        offsetMinutes: z.number().min(0).default(0).describe('How long after midnight the first begins.'),
        lengthSeconds: z.number().positive().describe('How long it lasts.'),
      }),
    )
    .optional()
    .describe('Counted from local midnight.'),
  signal: z
    .strictObject({
      phase: choiceOf(['purge', 'zero', 'standby'], phaseWords)
        .default('purge')
        .describe('The phase that is recognised.'),
      rules: z
        .array(signalRule.meta({ title: 'Rule' }))
        .min(1)
        .describe(
          'All must hold; of several streams, those of a stream’s own channels tell its phase. A stream that has none of them follows all.',
        ),
      dwellSeconds: seconds.default(20).describe('How long they must hold, or one must fail, before it is believed.'),
      backDate: z
        .boolean()
        .default(true)
        .describe('The phase begins when the gas changed, not when the dwell was over: back by the slowest t95.')
        .meta({ title: 'Begins when the gas changed' }),
    })
    .optional()
    .describe('A phase recognised from channel values, as oxygen near that of air.'),
  otherwise: choice({ unknown: 'unknown: does not count', measure: 'measuring: counts' })
    .default('unknown')
    .describe('What holds where nobody tells.'),
  settle: z
    .union([
      z
        .strictObject({
          timesT95: z
            .number()
            .min(0)
            .max(20)
            .describe('Multiples of the channel’s own t95.')
            .meta({ title: 'Times t95' }),
        })
        .meta({ title: 'a multiple of each channel’s t95' }),
      z
        .strictObject({ seconds: seconds.describe('The same for all channels.') })
        .meta({ title: 'the same time for all channels' }),
    ])
    .default({ timesT95: 2 })
    .describe('How long a channel waits after a purge before it counts.'),
  per: choice({ channel: 'each for itself', stream: 'all as the slowest' })
    .default('channel')
    .describe('Whether a channel waits as long as its own response asks, or as long as the slowest of its stream.')
    .meta({ title: 'Channels wait' }),
  faultsThatStop: z
    .array(choiceOf(instrumentFaults, faultWords))
    .default(['condensate', 'pump-flow', 'other'])
    .describe('Faults told by the instrument that stop all readings of the stream from counting.'),
  purge: z
    .strictObject({
      longestMinutes: z.number().positive().optional().describe('A longer purge raises an alarm.'),
      atLeastEveryMinutes: z
        .number()
        .positive()
        .optional()
        .describe('No purge within this time raises an alarm.')
        .meta({ title: 'At least every' }),
    })
    .prefault({})
    .describe('A purge that lasts longer, or that does not come within this time, raises an alarm.'),
})

export const plantState = z.discriminatedUnion('from', [
  z.strictObject({
    from: z
      .literal('always-running')
      .meta({ title: 'nobody: the plant always runs' })
      .describe('Who tells the plant state.'),
  }),
  z.strictObject({ from: z.literal('operator').meta({ title: 'the operator' }) }),
  z.strictObject({ from: z.literal('status').meta({ title: 'the instrument’s status words' }) }),
  z
    .strictObject({
      from: z.literal('signal').meta({ title: 'the value of a channel' }),
      channel: id.describe('The channel that tells.'),
      runningAbove: z.number().describe('Above: running.'),
      offBelow: z.number().describe('Below: off.'),
      dwellSeconds: seconds.default(10).describe('How long before a change is believed.'),
    })
    .describe(
      'Above: running. Below `offBelow`: off. Between: shut-down coming from running, start-up coming from off.',
    ),
])
