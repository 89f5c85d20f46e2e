import type { Station } from '../store.ts'

/** Whether this station takes anything of the kind from an operator. */
export const canTell = (station: Station): boolean =>
  station.mode === 'live' && (station.operatorTells?.phase === true || station.operatorTells?.plant === true)
