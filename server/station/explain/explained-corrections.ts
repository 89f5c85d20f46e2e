import type { ExplainAnswer, ExplainedCheck, ZeroCourse } from '../../../protocols/live/explain.ts'
import type { Check } from '../../engine/amendments.ts'
import type { EngineContext } from '../../engine/context.ts'
import type { TracedReading, TracedValue, TracedZero } from '../../engine/tracing/traced.ts'
import type { Tracer } from '../../engine/tracing/tracer.ts'

export const correctionWords: ExplainAnswer['correction'] = {
  formula:
    '(as read − zero) · span factor · dilution factor; where its cell answers to other gases, then solved from these; a sum is formed from its corrected members',
  source: null,
}

/** A check as told; of whoever told it. */
export function explainedCheck(
  { checks }: EngineContext,
  { id, kind, performedMs, expected, response, gas }: Check,
): ExplainedCheck {
  const told = checks.find((one) => one.id === id)
  return { id, kind, performedMs, expected, response, gas, by: told && 'by' in told ? String(told.by) : null }
}

/** Zeros that are subtracted from the readings, before or after them. */
export function zerosUsed(tracer: Tracer, readings: readonly TracedReading[]): readonly TracedZero[] {
  const used = new Set(
    readings.flatMap(({ values }) =>
      Object.entries(values).flatMap(([id, { zeroOf, zeroTo }]) => [`${id}/${zeroOf}`, `${id}/${zeroTo}`]),
    ),
  )
  return tracer.zeros.found.filter(({ channel, atMs }) => used.has(`${channel}/${atMs}`))
}

const howOf = ({ isOnLine, zeroTo }: TracedValue): ZeroCourse['how'] =>
  isOnLine ? 'line' : zeroTo === null ? 'held' : 'too small'

/** Stretches of readings between the same two zeros; none where zeros are not interpolated. */
export function zeroCourses({ zeroPlan }: EngineContext, readings: readonly TracedReading[]): ZeroCourse[] {
  if (!zeroPlan.interpolates) return []
  const last = new Map<string, number>()
  const courses: ZeroCourse[] = []
  for (const { atMs, untilMs, values } of readings)
    for (const [channel, value] of Object.entries(values)) {
      const { zeroOf, zeroTo } = value
      if (value.zero === null || zeroOf === null) continue
      const how = howOf(value)
      const place = last.get(channel) ?? -1
      const before = courses[place]
      if (before && before.zeroOf === zeroOf && before.zeroTo === zeroTo && before.how === how)
        courses[place] = { ...before, toMs: untilMs }
      else last.set(channel, courses.push({ channel, fromMs: atMs, toMs: untilMs, zeroOf, zeroTo, how }) - 1)
    }
  return courses
}

/** The checks that the span factors of an average come from. */
export function explainedSpans(
  context: EngineContext,
  tracer: Tracer,
  { startMs, endMs }: { readonly startMs: number; readonly endMs: number },
): ExplainAnswer['spans'] {
  return tracer.channels.flatMap((index) => {
    const found = context.spans.foundBetween(index, startMs, endMs)
    if (found.length === 0) return []
    const points = found.map(({ check, zero, sensitivity }) => ({
      check: explainedCheck(context, check),
      zero: zero ? explainedCheck(context, zero) : null,
      sensitivity,
    }))
    return [{ channel: context.station.channels[index]?.id ?? '', points }]
  })
}
