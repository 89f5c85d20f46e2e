/** Words that stand in several views. */
export const close = 'Close'
export const cancel = 'Cancel'
export const search = 'Search'
export const all = 'all'
export const channel = 'Channel'
export const noValue = 'no value'
export const replay = 'Replay'
export const inventedData = 'Invented data'
export const clockAtSpeed = (times: string): string => `Clock at ${times} × speed`
export const waitingForStation = 'Waiting for the station’s first word …'
export const askingStation = 'Asking the station …'
export const setUpInstrument = 'Set up an instrument'
export const showOnTrends = 'Show on the trends'
export const copyAsTable = 'Copy as a table'
export const moreEarlier = (count: number): string => `Show more: ${count} earlier ones`
/** A field for a time, and the zone of what is typed there. */
export const fromIn = (zone: string): string => `From, ${zone}`
export const stationComputes = 'The station computes …'
export const fromTo = (from: string, to: string): string => `${from} to ${to}`
export const cautions =
  'Flue gas is toxic and hot, condensate is acidic, sampling points are high up, and there is mains voltage. The instrument’s manual, the site’s safety rules, local codes and licensed practice come before anything on this page.'
