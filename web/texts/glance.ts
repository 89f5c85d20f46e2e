/** What needs a hand, what is safe, and where the running block is heading, in one line each. */
export const atAGlance = 'At a glance'
export const alarmsNotKnown = 'Alarms not known'
export const outOfTouch = 'out of touch'
export const blockNotKnown = 'Running block: not known now'
export const toBeSetUp = 'An instrument is to be set up'
export const nothingNeedsHand = 'Nothing needs a hand'
export const shelved = (count: number): string => `${count} shelved`
export const needHand = (count: number): string =>
  count === 1 ? '1 alarm needs a hand' : `${count} alarms need a hand`
/** What is played back waits for nobody any more. */
export const neededHand = (count: number): string => `${count === 1 ? '1 alarm' : `${count} alarms`} needed a hand then`

/** On which side of a limit. */
type Side = 'below' | 'above'
const sideWords: Readonly<Record<Side, string>> = { below: 'below', above: 'above' }
export const stays = (channel: string, side: Side, limit: string): string =>
  `${channel} stays ${sideWords[side]} ${limit}`
export const heading = (channel: string, side: Side, limit: string): string =>
  `${channel} heading ${sideWords[side]} ${limit}`
export const mayPass = (channel: string, limit: string): string => `${channel} may pass ${limit}`
export const fromTime = (time: string): string => `, from ${time}`
export const tooEarly = (channel: string): string => `${channel}: too early to say`

export const thePast = 'Replay: the past, not the present'
export const nothingStored = 'Nothing stored yet'
export const storedUpTo = (time: string): string => `Stored up to ${time}`
export const lastHeard = (time: string): string => `Last heard: stored up to ${time}`
export const notRecording = 'NOT RECORDING'
export const recordingBehind = 'recording is behind'
