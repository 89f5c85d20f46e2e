/**
 * All but *Watch*, in one piece that comes right after the first picture: from then on nothing that a hand asks for is
 * missing when the station restarts, or serves a newer page.
 */
import '../views/alarms/alarms-view.ts'
import '../views/averages/average-explained.ts'
import '../views/averages/averages-view.ts'
import '../views/calculations/calculations-view.ts'
import '../views/logbook/logbook-view.ts'
import '../views/recordings/recordings-view.ts'
import '../views/set-up/set-up-view.ts'
import '../views/watch/far-view.ts'
import '../views/watch/watch-reading.ts'
import './sound-switch.ts'
import './terms-list.ts'
import './this-screen.ts'

export { AlarmCall } from './alarm-call.ts'
export { exclusionSigning } from './amendment-signings.ts'
export { openHand } from './hands.ts'
