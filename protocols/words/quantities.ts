/** What a channel that is not a gas carries. */
export const physicalQuantities = [
  'temperature',
  'pressure',
  'flow',
  'velocity',
  'humidity',
  'level',
  'voltage',
  'power',
  'mass',
  'ratio',
] as const
export type PhysicalQuantity = (typeof physicalQuantities)[number]

/** What a value of a channel is after each stage, in the order of the stages. */
export const valueQuantities = [
  'as_read',
  'drift_corrected',
  'bias_corrected',
  'dry',
  'mass_concentration',
  'at_reference_oxygen',
  'mass_rate',
] as const
export type ValueQuantity = (typeof valueQuantities)[number]

/** The same in words, for screens and reports. */
export const valueQuantityNames: Readonly<Record<ValueQuantity, string>> = {
  as_read: 'as read',
  drift_corrected: 'drift corrected',
  bias_corrected: 'bias corrected',
  dry: 'dry',
  mass_concentration: 'mass concentration',
  at_reference_oxygen: 'at reference oxygen',
  mass_rate: 'mass rate',
}

export const bases = ['dry', 'wet'] as const
export type Basis = (typeof bases)[number]
export const basisWords: Readonly<Record<Basis, string>> = { dry: 'dry gas', wet: 'wet gas' }

/** Whether the instrument measured a value or worked it out from others. */
export const origins = ['measured', 'computed'] as const
export type Origin = (typeof origins)[number]
export const originNames: Readonly<Record<Origin, string>> = {
  measured: 'measured',
  computed: 'computed by the instrument',
}
