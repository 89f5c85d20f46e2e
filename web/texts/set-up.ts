import { html } from 'lit'
import type { HeardAnswer } from '../../protocols/live/set-up.ts'
import type { Part } from './part.ts'

/** The set-up, step by step. */
type Options = readonly (readonly [string, string])[]

export const filePending = 'The station file was changed; the next run uses it.'
export const sourceTitle = 'Where do the lines come from?'
export const linesTitle = 'What arrives, and what is read'
export const columnsTitle = 'What each column is'
export const stationTitle = 'Station, averages and limits'
export const writeTitle = 'Look over, write, start'

/** Which of the streams the steps show. */
export const chooseStream = 'Stream that the steps show'
export const addStream = 'Add another stream'
export const addStreamHint = 'for a second instrument, as one at the outlet or one for flow or moisture'
export const streamName = 'Name of this stream in exports'
export const streamNameHint = 'lower-case letters, digits, - and _; its channels name it'
export const removeStream = 'Remove this stream'
export const removesStream = (stream: string, channels: readonly string[]): string =>
  `“${stream}” goes, with ${channels.length === 0 ? 'no channel' : `its channels (${channels.join(', ')}) and their limits`}. Nothing is written before you look it over.`
export const removeStreamNow = 'Yes, remove it'
export const keepStream = 'Keep it'
export const everyOf = (stream: string): string => `“A line every … seconds” is that of the stream “${stream}”.`
export const otherKind = (kind: string): string =>
  `This stream’s source is ${kind}, which cannot be listened to here. Its settings stand under All settings, Streams. Choose another kind above to replace it.`

/** The source. */
export const kindOfSource = 'Kind of source'
export const sourceKinds = {
  serial: 'A serial port',
  tcp: 'An address in the network',
  file: 'A file that grows',
} as const
export const framings: Options = [
  ['8N1', '8 data bits, no parity, 1 stop bit'],
  ['7E1', '7 data bits, even parity, 1 stop bit'],
  ['7O1', '7 data bits, odd parity, 1 stop bit'],
  ['8E1', '8 data bits, even parity, 1 stop bit'],
  ['8N2', '8 data bits, no parity, 2 stop bits'],
]
export const handshakes: Options = [
  ['none', 'none'],
  ['rts-cts', 'RTS/CTS lines'],
  ['xon-xoff', 'XON/XOFF signs'],
]
export const lineEnds: Options = [
  ['auto', 'LF, with or without CR'],
  ['cr', 'CR alone'],
  ['lf', 'LF alone'],
  ['crlf', 'CR and LF'],
]
export const listen = 'Listen'
export const listenAnew = 'Listen anew'
export const stopListening = 'Stop listening'
export const listeningAbout = 'Listening records nothing. The port is given back when this page is left.'
export const asked = 'It only answers when asked, or ends its lines otherwise'
export const ask = 'Ask'
export const askHint = 'sent as it stands; \\r and \\n are line ends; empty: it sends by itself'
export const askEvery = 'Every … seconds'
export const lineEnd = 'Line end'
export const port = 'Port'
export const portExample = '/dev/serial/by-id/…'
export const choosePort = 'choose one of the list, or type its path'
export const noPort = 'no port was found: plug the adapter in and open this page anew, or type its path'
export const baudRate = 'Baud rate'
export const baudRateHint = 'as the instrument’s manual says'
export const framing = 'Framing'
export const handshake = 'Handshake'
export const address = 'Address and port'
export const addressHint = 'of the instrument or its converter, as 192.168.0.20:4001'
export const addressExample = 'host:port'
export const file = 'File'
export const fileHint = 'on the station’s machine; another program adds lines to it'
export const heldAlready = 'What it holds already'
export const heldOptions: Options = [
  ['end', 'is left out: only new lines count'],
  ['start', 'is read from the start'],
]

/** The lines. */
export const linkWords: Readonly<Record<HeardAnswer['link'], string>> = {
  closed: 'not listening',
  opening: 'opening …',
  open: 'open',
  lost: 'lost, trying again',
  silent: 'silent, opening anew',
  refused: 'cannot be opened, trying again',
  ended: 'ended',
}
export const whyWords = {
  missing: 'no value',
  over: 'over range',
  under: 'under range',
  unreadable: 'unreadable',
  absent: 'not in the line',
} as const
export const linesToCome = 'Lines appear here as soon as the station listens.'
export const ownLines = 'The station itself reads this source; these are its own lines. '
/** `every`: seconds between two; null where it is not known yet. */
export const heard = (link: string, lines: string, every: string | null): string =>
  `${link}. ${lines} lines${every === null ? '' : `, one every ${every} s`}.`
export const nothingCame = 'Nothing has come yet: is the instrument sending, and is it this port?'
export const linesRead = 'Raw lines and what is read from them, the newest first'
export const propose = 'Propose a profile'
export const proposeAnew = 'Propose a profile anew'
export const proposedByItself = 'A profile is proposed by itself once six lines have come.'
export const readOf = (read: string, lines: string, refused: string): string =>
  `${read} of ${lines} lines are read${refused === '' ? '' : `; not read: ${refused}`}.`
export const time = 'time'
export const notKnown = 'not known'
export const notRead = (reason: string): string => `not read: ${reason}`
/** `kinds`: first words of the kinds of lines; empty where there is one. */
export const noForm = (kinds: string): string =>
  `No form fits these lines yet${kinds === '' ? '' : `: they are of several kinds (${kinds}), and a profile reads one`}. A wrong baud rate looks like this too.`
export const whatWasTried = 'What was tried'

/** The columns. */
export const columnsToCome = 'Columns appear here with the proposed profile.'
export const takeUsualUnits = 'Take the usual units'
export const usualUnits = (count: number): string =>
  `${count} units stand nowhere in the lines. Usual are vol% for O₂ and CO₂, ppm for other gases, °C: hold them against the instrument’s display.`
export const statusWords = 'Status words'
export const whatItIs = 'What it is'
export const notUsed = 'not used'
export const unit = 'Unit'
export const unitUsual = 'Unit (assumed: check it)'
export const basis = 'Basis'
export const origin = 'Origin'
export const nameInExports = 'Name in exports'
export const sure = (percent: number): string => `${percent} % sure: `

/** The profile. */
export const noFaultStands = 'no fault stands'
export const fault = (fault: string): string => `fault: ${fault}`
export const onlyYou = 'Only you can tell'
export const guessed = 'What was guessed, and how sure that is'
export const noStatusWord = 'The lines tell no status word. Choose below what holds where nothing tells the phase.'
export const nothingMeasures =
  'No word tells measuring yet, and only measuring counts in averages: let the instrument measure and propose anew, add the word, or choose below what holds where nothing tells the phase.'
export const wordsIn = (field: string): string => `Words in “${field}”`
export const wordsAlone = 'Lines of words alone'
export const anotherWord = 'Another word'
export const anotherWordHint = 'as the instrument writes it; then choose what it tells'
export const blanksBetween = 'blanks between'
export const blanksBetweenKnown = 'blanks between; nothing and dashes are known'
export const correctForm = (form: string): string => `Form of the lines: ${form}. Correct it by hand`
export const betweenColumns = 'Between columns'
export const betweenColumnsHint = '\\t is a tabulator'
export const betweenParts = 'Between parts'
export const betweenNameAndValue = 'Between name and value'
export const pattern = 'Pattern'
export const encoding = 'Encoding'
export const encodings: Options = [
  ['utf-8', 'UTF-8'],
  ['latin-1', 'Latin-1'],
  ['windows-1252', 'Windows-1252'],
]
export const timeFormat = 'Format of the time'
export const timeFormatHint = 'as yyyy-MM-dd HH:mm:ss, or iso'
export const timeZoneOfLines = 'Zone of the time'
export const timeZoneOfLinesHint = 'station, UTC, an offset, or a name'
export const noValueWords = 'Words for “no value”'
export const overRangeWords = 'Words for “over range”'
export const underRangeWords = 'Words for “under range”'

/** Station, averages and limits. */
export const regimes: Options = [
  ['eu', 'EU: half-hours, 273.15 K, mg/m³'],
  ['us', 'US: hours, 293.15 K, ppm'],
  ['custom', 'custom: as the station file says'],
]
export const stationName = 'Name of the station'
export const stationNameExample = 'as reports shall call it'
export const timeZone = 'Time zone'
export const timeZoneHint = 'a name as Europe/Vienna; empty: UTC'
export const regime = 'Regime'
export const regimeHint = 'presets for what is not set here'
export const referenceOxygen = 'Reference oxygen, vol%'
export const referenceOxygenHint = 'of the permit; empty: nothing is referred'
export const lineEvery = 'A line every … seconds'
export const lineEveryHint = 'sets what a gap is'
export const settle = 'Wait after a purge, seconds'
export const settleHint = 'twice the response time t95 of the slowest cell; empty: by each channel’s t95'
export const otherwise = 'Where nothing tells the phase'
export const otherwiseHint = 'only measuring counts in averages'
export const otherwiseOptions: Options = [
  ['unknown', 'unknown: does not count'],
  ['measure', 'measuring: counts'],
]
export const limits = 'Limits'
export const noLimits = 'None yet. They come from the permit; a station runs without any.'
export const addLimit = 'Add a limit'
export const trySound = 'Try the sound'
export const trySoundAbout = 'A short tone from this computer: an alarm that nobody can hear wakes nobody.'
export const limit = (number: number): string => `Limit ${number}`
export const value = 'Value'
export const ofEachReading = 'of each reading'
export const averageOver = 'Average over'
export const atOxygen = 'At oxygen, vol%'
export const atOxygenHint = 'empty: as measured'
export const remove = 'Remove'
export const removeLimit = (number: number): string => `Remove limit ${number}`

/** Looking over and writing. */
export const writesNextRun =
  'A run is going on: it keeps the settings that it began with. What is written applies from the next run.'
export const writesFirst = 'The station starts at once, and with it the first run.'
export const writesAtOnce =
  'No run is going on: what is written applies at once, and a run begins if the station file starts runs at once.'
export const fileIs = (when: string, file: Part) => html`${when} File: ${file}`
export const showChange = 'Show what will be written'
export const writeForNext = 'Write, for the next run'
export const writeAndStart = 'Write and start'
export const written = (file: string, isNow: boolean): string =>
  `Written to ${file}; it applies ${isNow ? 'now' : 'from the next run'}.`
export const watchStation = 'Watch the station'
export const kept = (count: number): string =>
  `${count === 1 ? 'One thing keeps' : `${count} things keep`} this from being written. Each stands beside its field too.`
export const change = 'What changes in the station file'
export const noChange = 'Nothing would change.'
/** Before a line that changes, for whoever cannot see its sign. */
export const spokenChange = { same: '', old: 'old: ', new: 'new: ', cut: '' } as const
