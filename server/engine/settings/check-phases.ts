import type { Examination, SettingPath } from './findings.ts'

/** Where phases and plant states come from. */
export function checkPhases(of: Examination): void {
  const { phases, plantState } = of.file
  of.unique(
    phases.from.map((_, place) => ['phases', 'from', place]),
    phases.from,
    'an entry',
  )
  const unmet = (['schedule', 'signal'] as const).filter(
    (source) => phases.from.includes(source) && phases[source] === undefined,
  )
  for (const source of unmet) {
    if (!of.unsure.settings.has(`phases.${source}`))
      of.add(['phases', 'from', phases.from.indexOf(source)], `"${source}" needs phases.${source}, which is not set`)
  }
  phases.schedule?.forEach(({ everyMinutes, offsetMinutes, lengthSeconds }, place) => {
    if (lengthSeconds >= everyMinutes * 60)
      of.add(
        ['phases', 'schedule', place, 'lengthSeconds'],
        `${lengthSeconds} fills the whole of everyMinutes ${everyMinutes}; it must be shorter than ${everyMinutes * 60}`,
      )
    if (offsetMinutes >= everyMinutes)
      of.add(
        ['phases', 'schedule', place, 'offsetMinutes'],
        `${offsetMinutes} is not less than everyMinutes ${everyMinutes}`,
      )
  })
  checkSignal(of)
  if (plantState.from === 'signal') {
    of.channel(['plantState', 'channel'], plantState.channel)
    if (plantState.offBelow > plantState.runningAbove)
      of.add(
        ['plantState', 'offBelow'],
        `${plantState.offBelow} lies above runningAbove ${plantState.runningAbove}; it must not`,
      )
  }
}

function checkSignal(of: Examination): void {
  const { signal } = of.file.phases
  if (!signal) return
  let pairs = 0
  signal.rules.forEach(({ channel, enterAbove, leaveBelow, enterBelow, leaveAbove }, place) => {
    const at = (key: string): SettingPath => ['phases', 'signal', 'rules', place, key]
    of.channel(at('channel'), channel)
    if (enterAbove !== undefined && enterBelow !== undefined)
      of.add(at('enterBelow'), `${enterBelow} beside enterAbove ${enterAbove}: a rule has one of them`)
    if (enterAbove === undefined && enterBelow === undefined)
      of.add(at('enterAbove'), 'is missing; a rule needs enterAbove with leaveBelow, or enterBelow with leaveAbove')
    if (leaveBelow !== undefined && enterAbove === undefined)
      of.add(at('leaveBelow'), `${leaveBelow} goes with enterAbove, which is not set`)
    if (leaveAbove !== undefined && enterBelow === undefined)
      of.add(at('leaveAbove'), `${leaveAbove} goes with enterBelow, which is not set`)
    if (enterAbove !== undefined && leaveBelow !== undefined && leaveBelow >= enterAbove)
      of.add(at('leaveBelow'), `${leaveBelow} must lie below enterAbove ${enterAbove}, or the phase flickers`)
    if (enterBelow !== undefined && leaveAbove !== undefined && leaveAbove <= enterBelow)
      of.add(at('leaveAbove'), `${leaveAbove} must lie above enterBelow ${enterBelow}, or the phase flickers`)
    if (leaveBelow !== undefined || leaveAbove !== undefined) pairs++
  })
  if (pairs === 0)
    of.add(
      ['phases', 'signal', 'rules'],
      'have no hysteresis; give at least one rule enterAbove with leaveBelow, or enterBelow with leaveAbove',
    )
}
