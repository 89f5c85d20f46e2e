import type { LogbookEntry, Outlook, RecordingState, RunState, StreamState } from '../protocols/live/messages.ts'
import type { RecordingSummary } from '../protocols/live/requests.ts'
import type { AlarmPriority, AlarmState } from '../protocols/words/alarms.ts'
import type { BlockReason, BlockState, Detection } from '../protocols/words/blocks.ts'
import type { countFlag } from '../protocols/words/count-flags.ts'
import type { Phase, PlantState } from '../protocols/words/phases.ts'

/** All words of the screens, in one catalogue. */
export const phaseWords: Readonly<Record<Phase, string>> = {
  measure: 'Measuring',
  settle: 'Settling',
  purge: 'Purging',
  zero: 'Zeroing',
  span: 'Span gas',
  standby: 'Standby',
  fault: 'Fault',
  unknown: 'Unknown',
}
/** On charts: a person took this stretch out of the averages. */
export const excludedWord = 'Excluded'
export const phaseMeanings: Readonly<Record<Phase, string>> = {
  measure: 'flue gas, counted in the averages',
  settle: 'cells still catching up, not counted',
  purge: 'fresh air, not counted',
  zero: 'zero being taken, not counted',
  span: 'calibration gas, not counted',
  standby: 'waiting, not counted',
  fault: 'the instrument reports a fault, not counted',
  unknown: 'nothing tells the phase, not counted',
}
export const plantWords: Readonly<Record<PlantState, string>> = {
  running: 'plant running',
  'start-up': 'plant starting up',
  'shut-down': 'plant shutting down',
  off: 'plant off',
  unknown: 'plant state not told',
}
export const nextKnownWords: Readonly<Record<NonNullable<StreamState['next']>['known'], string>> = {
  settling: 'by the settling time',
  schedule: 'by the schedule',
  'from the cycles so far': 'going by the cycles so far',
}
export const linkWords: Readonly<Record<StreamState['link'], string>> = {
  waiting: 'waiting for the first line',
  open: 'lines come',
  lost: 'link lost',
  silent: 'silent',
  refused: 'cannot be opened',
  ended: 'ended',
}
export const recordingWords: Readonly<Record<RecordingState['state'], string>> = {
  recording: 'recording',
  behind: 'recording, but behind',
  standby: 'standby recording',
  stopped: 'not recording',
}
export const runWords: Readonly<Record<RunState['state'], string>> = {
  waiting: 'no run yet',
  planned: 'run planned',
  running: 'run under way',
  ended: 'run ended',
  suspended: 'run suspended',
}
export const recordingStateWords: Readonly<Record<RecordingSummary['state'], string>> = {
  running: 'running now',
  suspended: 'suspended',
  ended: 'ended',
  standby: 'outside a run',
  damaged: 'damaged',
}
export const validityWords: Readonly<Record<Outlook['validity'], string>> = {
  met: 'valid already',
  'on-course': 'on course to be valid',
  'at-risk': 'validity at risk',
  lost: 'can no longer be valid',
}
export const headingWords: Readonly<Record<Outlook['heading'], string>> = {
  below: 'stays below',
  above: 'heading above',
  undecided: 'either side possible',
  'cannot-tell': 'too early to say how it ends',
}
/** In place of all that is guessed about a running block, where nothing new comes. */
export const headingToCome = 'Where it is heading against its limits is told from its first full minute on.'
export const noLimitSet = 'No limit is set for this average.'
export const headingUnknown = 'how it stands now is not known'
export const blockStateWords: Readonly<Record<BlockState, string>> = {
  open: 'running',
  provisional: 'provisional',
  final: 'final',
}
/** How the readings of an average stand to the detection limit; nothing is said where all lie above. */
export const detectionWords: Readonly<Record<Detection, string>> = {
  ADL: '',
  DLL: 'some readings below the detection limit',
  BDL: 'all readings below the detection limit',
}

export const reasonWords: Readonly<Record<BlockReason, string>> = {
  coverage_low: 'too little counted',
  quadrant_empty: 'a quarter of the hour has no reading',
  points_too_close: 'the two points stand too close',
  minutes_short: 'too few minutes counted',
  nothing_counted: 'nothing counted',
  not_operating: 'plant not running',
  run_started: 'run started within',
  run_ended: 'run ended within',
  oxygen_invalid: 'oxygen invalid',
  peripheral_invalid: 'a supporting channel was invalid',
  oxygen_near_ambient: 'oxygen near ambient: nothing can be referred',
  oxygen_below_reference_not_corrected: 'oxygen below reference, not corrected',
  moisture_unknown: 'moisture unknown',
  no_zero_yet: 'no zero yet',
  internal_zero_drift_not_observable: 'the instrument zeroes itself: drift not observable',
  gap: 'gap in the lines',
  instrument_fault: 'instrument fault',
  clock_step: 'clock step',
  excluded: 'a stretch was excluded by hand',
  drift_beyond_limit: 'the instrument drifted beyond the method’s limit',
  bias_beyond_limit: 'a check missed its gas by more than the method allows',
  drift_noted: 'drift beyond the limit, noted: prove the instrument anew before the next run',
  zero_not_followed: 'no zero followed: the last one was held',
  readings_not_converted: 'readings that could not be converted, as with oxygen near that of air, are left out',
  defect: 'a defect of this program',
}
export const priorityWords: Readonly<Record<AlarmPriority, string>> = {
  high: 'high priority',
  medium: 'medium priority',
  low: 'low priority',
}
export const alarmStateWords: Readonly<Record<AlarmState, string>> = {
  normal: 'over',
  raised: 'stands',
  acknowledged: 'stands, acknowledged',
  returned: 'over, not yet acknowledged',
  'latched-raised': 'latched',
  'latched-acknowledged': 'latched, acknowledged',
  shelved: 'shelved',
  suppressed: 'suppressed',
}
/** Under the heading of the chart of two recordings. */
export const twoRunsSaid =
  'As corrected for zero, not referred to an oxygen content; purges, zeros and settling are drawn too.'
/** Beside the word that this is a replay. */
export const replayIsDeaf = 'Alarms of the running station are neither shown nor heard on this page meanwhile.'
/** Above alarms of a station that this page no longer hears. */
export const asLastHeard = (time: string): string =>
  `As last heard at ${time}. This page does not hear the station: what was raised or is over since then is not known here.`
export const entryKindWords: Readonly<Record<LogbookEntry['kind'], string>> = {
  note: 'note',
  alarm: 'alarm',
  event: 'event',
  run: 'run',
  operator: 'operator',
  link: 'link',
  clock: 'clock',
}
const countFlagWords: Readonly<Record<keyof typeof countFlag, string>> = {
  counts: 'counts',
  missing: 'missing',
  overRange: 'over range',
  underRange: 'under range',
  unreadable: 'unreadable',
  absent: 'not in the line',
  outOfRange: 'out of range',
  notMeasuring: 'not counted',
  settling: 'settling, not counted',
  plantNotRunning: 'plant not running',
  supportOutOfRange: 'a supporting channel is out of its range',
  instrumentFault: 'instrument fault',
  noRun: 'outside a run',
  excluded: 'excluded by hand',
  interferentInvalid: 'a gas that this cell also answers to has no valid reading',
}
/** Why a reading does not count, by the number that comes with it; 0 counts. */
export const flagWords: readonly string[] = Object.values(countFlagWords)
export const viewWords = {
  watch: 'Watch',
  averages: 'Averages',
  alarms: 'Alarms',
  logbook: 'Logbook',
  recordings: 'Recordings',
  'set-up': 'Set-up',
  calculations: 'Calculations',
} as const
/** What will stand in a view once an instrument is set up. */
export const emptyWords = {
  watch: 'What the instrument does, its figures and their trends will stand here.',
  averages: 'The averages of your permit will stand here, each with its coverage and the reasons where it is invalid.',
  logbook: 'Notes, alarms and events will stand here; a note needs a recording that keeps it.',
} as const
export const quantityWords = { asRead: 'as read', corrected: 'corrected', referred: 'referred' } as const
export const trendValueWords = { limits: 'as the limits are set', corrected: 'corrected', asRead: 'as read' } as const

export const shortcuts: readonly (readonly [string, string])[] = [
  ['n', 'write a note, stamped with the moment of the press'],
  ['a', 'acknowledge the first alarm'],
  ['s', 'shelve the first alarm for a time'],
  ['1 … 7', 'Watch, Averages, Alarms, Logbook, Recordings, Set-up, Calculations'],
  ['f', 'far view: the state in letters for three metres; again to leave it'],
  ['← →', 'move the trends'],
  ['+ −', 'zoom the trends; with the mouse: drag over a stretch, Ctrl and wheel, or the wheel on a clicked chart'],
  ['b', 'only this block'],
  ['w', 'whole run'],
  ['0', 'now'],
  ['space', 'play or pause a replay'],
  ['?', 'this sheet'],
  ['Esc', 'close a dialog'],
]
