/** What an operator reads beside an alarm. Plain sentences; the instrument's manual, the site's rules and licensed practice always go first. */
export interface AlarmText {
  readonly title: string
  /** What it means for the instrument and for the numbers. */
  readonly meaning: string
  /** What to do, in this order. */
  readonly steps: readonly string[]
  /** What can hurt. */
  readonly cautions: readonly string[]
}

const manual = 'The instrument’s manual, the site’s safety rules and the permit to work come before this list.'
const toxicGas =
  'Flue gas is toxic and can be hot: carbon monoxide is neither seen nor smelled. Wear a personal CO alarm, keep the place aired, and close the port while the probe is out.'
const hotSurfaces =
  'Probe, hose and duct are hot enough to burn: use heat-proof gloves and let parts cool before you open them.'
const height = 'On a platform: both hands free, tools secured, never alone where the site’s rules forbid it.'
const mains =
  'Mains voltage: leave work on sockets, fuses and open housings to a licensed electrician. Keep plugs out of condensate and rain.'
const leakCheck = 'Do the leak check before you go on.'
const noteIt = 'Note what you found and when: it tells later which readings can be used.'

/**
 * A text for each health cause, for a passed limit (`limit`) and for advice (`advice`).
 * Source: common practice of sampling and of work on stacks, no single source.
 */
export const alarmTexts = {
  condensate: {
    title: 'Condensate trap full or water in the sample line',
    meaning:
      'Water is about to reach, or has reached, the pump and the cells. Readings do not count while this stands. A trap that is found full late casts doubt on what was read before: water binds SO₂ and NO₂ and hinders the flow.',
    steps: [
      'Stop the pump, or switch the instrument off, as its manual says: the pump must not draw the water in.',
      'Put on acid-proof gloves and eye protection, then take the probe out of the duct or close the sample line.',
      'Empty the trap into a vessel for acid waste, not onto the platform.',
      'Look at filter, hose and cooler for water; dry or change what is wet.',
      'Refit the trap and see that its seal sits right.',
      leakCheck,
      'Go on sampling, wait until the readings have settled, and check that the flow is back.',
      'If the trap was full for some time: find out since when, check zero and span, and note which readings are in doubt.',
    ],
    cautions: [
      'Condensate is acidic and may be hot: gloves and eye protection; rinse splashes at once with plenty of water and see a doctor for eyes.',
      toxicGas,
      hotSurfaces,
      manual,
    ],
  },
  'pump-flow': {
    title: 'Sample flow too low',
    meaning:
      'Too little gas reaches the cells, or none: readings lag, read low, or show air that leaks in. They do not count while this stands.',
    steps: [
      'Look for a kinked, crushed or frozen hose and for a blocked probe tip.',
      'Look at the filter and the condensate trap.',
      'If the pump stands still or sounds laboured, switch off as the manual says and have it seen to.',
      leakCheck,
      'Check that the flow is back to where it was at the response-time test, then wait until the readings have settled.',
      noteIt,
    ],
    cautions: [toxicGas, hotSurfaces, height, manual],
  },
  filter: {
    title: 'Filter clogged or due',
    meaning: 'Dust holds the gas back. The response slows down first, then the flow falls.',
    steps: [
      'Stop sampling as the manual says, and let the probe cool.',
      'Change the filter; do not knock it out or blow through it by mouth.',
      leakCheck,
      'Check the flow, and the response time if the filter was badly clogged.',
      noteIt,
    ],
    cautions: [
      'Filter dust can hold soot, acids and heavy metals: gloves, a dust mask, and a closed bag for the waste.',
      toxicGas,
      hotSurfaces,
      manual,
    ],
  },
  'cell-temperature': {
    title: 'Cell temperature out of range',
    meaning:
      'Zero and sensitivity of the cells change with temperature. Values measured meanwhile may be off by more than the check after the run allows.',
    steps: [
      'Shade the instrument from sun and radiant heat, or shelter it from wind and frost; keep its vents free.',
      'Wait until the temperature is back in range and steady.',
      'Check zero and span before you trust the readings again.',
      noteIt,
    ],
    cautions: ['Do not cool or heat the instrument by force: condensation inside can ruin it.', manual],
  },
  mains: {
    title: 'Mains power lost',
    meaning:
      'The instrument runs on its battery, if it has one. Heated line, cooler and pump may have stopped already.',
    steps: [
      'See what else has lost power: a heated line or cooler that stops lets water condense.',
      'Find out how long the battery will last, and decide whether to end the run in good order.',
      'Have the supply restored by whoever is licensed for it.',
      'When power is back, wait for cooler and heated line, then check the flow and the zero.',
    ],
    cautions: [mains, height, manual],
  },
  battery: {
    title: 'Battery low',
    meaning: 'The instrument will switch off before long, and the run will end where it stands.',
    steps: [
      'Connect the charger or the mains, if the place allows it.',
      'If not: purge the cells with fresh air as the manual says, end the run, and do the checks after the run while there is power.',
    ],
    cautions: [
      'Use only the charger made for this battery; do not charge one that is hot, swollen or wet.',
      mains,
      manual,
    ],
  },
  'cell-over-range': {
    title: 'A cell is over its range',
    meaning:
      'The gas holds more than the cell can measure. There is no number for it, and the overload can harm the cell and slow its recovery.',
    steps: [
      'Purge with fresh air, or take the probe out, so that the cell can recover.',
      'Find out why: start-up, a burner out of trim, or a range or dilution that does not fit.',
      'If the gas is high in CO, tell the plant’s operator: the combustion itself may be unsafe.',
      'Before going on check zero and span of this cell.',
      noteIt,
    ],
    cautions: [toxicGas, 'A burner is set only by people licensed to do so.', manual],
  },
  'other-fault': {
    title: 'The instrument reports a fault',
    meaning:
      'The status told by the instrument is a fault that has no name of its own here. Whether readings can be trusted depends on which one it is.',
    steps: [
      'Read the instrument’s own display and look the fault up in its manual.',
      'Follow the manual.',
      'Check zero and span if the fault can have touched the readings.',
      noteIt,
    ],
    cautions: [toxicGas, manual],
  },
  silence: {
    title: 'No lines from the instrument',
    meaning:
      'The link is there, but nothing comes over it. The values on screen are old; the time without lines is a gap and does not count.',
    steps: [
      'See whether the instrument is on, and whether it still sends: some stop when a menu is opened or their memory is full.',
      'Check cable and plugs at both ends.',
      'Check the port’s settings if they were touched.',
      'The station opens the link again by itself; nothing has to be started.',
    ],
    cautions: [height, manual],
  },
  'lost-link': {
    title: 'Link to the instrument lost',
    meaning:
      'The port or the connection is gone. The station keeps trying; until it is back there is a gap, which does not count.',
    steps: [
      'See whether the instrument and the adapter or network device have power.',
      'Check cable, plugs and radio link; plug the adapter in again.',
      'If another program holds the port, end that program.',
      'The station opens the link again by itself; nothing has to be started.',
    ],
    cautions: [mains, height, manual],
  },
  'purge-overrun': {
    title: 'A purge does not end',
    meaning:
      'The fresh-air purge lasts longer than planned: a valve may hang, or the duct may hold little else than air. Nothing counts meanwhile.',
    steps: [
      'See on the instrument whether it is still purging.',
      'If so, end the purge there, and see whether the valve switches.',
      'If not: is the burner off, the probe out of the duct, or air leaking in?',
      'After going back to the gas wait until the readings have settled.',
      noteIt,
    ],
    cautions: [toxicGas, hotSurfaces, manual],
  },
  'purge-missing': {
    title: 'A purge is overdue',
    meaning:
      'The cells have not had fresh air for longer than planned. Their readings drift, and a long load shortens their life.',
    steps: [
      'See whether the purge cycle of the instrument is still on.',
      'Start a purge by hand, with air that is truly fresh and not drawn from beside the stack.',
      'If the instrument did purge and the station did not notice: check how phases are told in the station file.',
      noteIt,
    ],
    cautions: [toxicGas, manual],
  },
  'coverage-at-risk': {
    title: 'The running average may become invalid',
    meaning: 'So much of this block did not count that too little may be left to make it valid.',
    steps: [
      'See what holds readings back: a fault, a gap, a purge, or a value out of range.',
      'Mend that first.',
      'Put off a check or purge that can wait without harm to the cells.',
      'If the block is lost, it stays in the table as invalid with its reason; lengthen the run if the method asks for more valid blocks.',
    ],
    cautions: [
      'Do not skip a purge that the cells need, and do not hurry on the platform for the sake of a block.',
      manual,
    ],
  },
  'unparsable-lines': {
    title: 'Many lines cannot be read',
    meaning:
      'Lines come, but not in the form that the profile describes. They are kept as they came; they do not count.',
    steps: [
      'Look at the refused lines: unreadable characters point to the port’s speed or parity, whole but strange lines to another output format.',
      'Check cable and shielding, above all beside motors and frequency converters.',
      'See whether somebody changed the instrument’s output or language.',
      'If the profile has to change: the recorded lines can be read again with the new one.',
    ],
    cautions: [height, manual],
  },
  limit: {
    title: 'Limit passed',
    meaning:
      'A value has passed the limit that the station file sets for it. Whether a permit is breached depends on the average that the permit names and on the uncertainty.',
    steps: [
      'See which value it is: a reading, a running average, or a finished block.',
      'See whether the measurement is sound: phase, flow, oxygen, leak.',
      'Tell the plant’s operator, who decides about the combustion.',
      'Note the cause if it is known: start-up, change of load, change of fuel.',
    ],
    cautions: [
      'A rise of CO can mean an unsafe burner and toxic gas in the room: if your personal alarm sounds, leave and warn others.',
      'A burner is set only by people licensed to do so.',
      manual,
    ],
  },
  advice: {
    title: 'The running average is heading past its limit',
    meaning:
      'If the newest level holds, this block will end past its limit. It is advice about what may come, not an exceedance.',
    steps: [
      'See whether the measurement is sound.',
      'Tell the plant’s operator in time.',
      'It goes by itself when the outlook changes.',
    ],
    cautions: ['A burner is set only by people licensed to do so.', manual],
  },
} as const satisfies Readonly<Record<string, AlarmText>>

/** Causes that have a text. */
export type AlarmTextKey = keyof typeof alarmTexts

/** The text for an alarm, by its class and cause. */
export function alarmText(alarm: { readonly class: string; readonly cause: string }): AlarmText {
  const key = alarm.class === 'advice' ? 'advice' : alarm.cause
  return Object.hasOwn(alarmTexts, key) ? alarmTexts[key as AlarmTextKey] : alarmTexts['other-fault']
}
