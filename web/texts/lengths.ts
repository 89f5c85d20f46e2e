import type { Basis } from '../../protocols/words/quantities.ts'

/** Lengths of time, times and units where they are words. */
export const lessThanMinute = 'less than 1 min'
export const day = 'day'
export const wholeRun = 'whole run'
export const hours = (count: number): string => (count === 1 ? '1 hour' : `${count} hours`)
export const minutes = (count: number): string => (count === 1 ? '1 minute' : `${count} minutes`)
export const from = (time: string): string => `from ${time}`
export const to = (time: string): string => `to ${time}`
export const atOxygen = (percent: string): string => `at ${percent} % O₂`
export const basisWords: Readonly<Record<Basis, string>> = { dry: 'dry', wet: 'wet' }
