import { html, nothing } from 'lit'
import type { Outlook } from '../../protocols/live/messages.ts'
import type { Part } from './part.ts'

export const title = 'Running block'
export const whichAverage = 'Which average'
export const validityWords: Readonly<Record<Outlook['validity'], string>> = {
  met: 'valid already',
  'on-course': 'on course to be valid',
  'at-risk': 'validity at risk',
  lost: 'can no longer be valid',
}
export const notYetValid = 'not yet valid'
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
export const asOf = (time: string): string => `As of ${time}: nothing newer is known`
export const noneRunning = 'No block of this length is running.'
export const now = (time: string): string => `Now ${time}`
export const left = (length: string): string => `${length} left`
export const closing = 'closing'
/** Beside the bar, for whoever cannot see it. */
export const countedOf = (counted: string, length: string, needed: string | null): string =>
  `${counted} of ${length} counted${needed === null ? '' : `, ${needed} needed`}`
export const counted = (length: Part, needed: string | null) =>
  html`${length} counted${needed === null ? nothing : ` of ${needed} needed`}`

export const why = 'Why?'
export const whyMean = (channel: string): string => `Why? Where the mean of ${channel} comes from`
export const none = 'none'
export const likely = (low: string, high: string): string => `likely ${low} to ${high}`
/** The scale, for whoever cannot see it. */
export const scale = (channel: string, soFar: string, likely: string, limit: string, said: string): string =>
  `${channel}: mean so far ${soFar}, ${likely}, limit ${limit}: ${said}`
/** `likely`: empty where nothing can be said of it. */
export const standing = (soFar: Part, likely: string, limit: Part) =>
  html`${soFar} so far${likely ? `, ${likely}` : nothing}; limit ${limit}`
export const pastLimit = (time: string): string => `, past the limit from ${time} at the present level`
