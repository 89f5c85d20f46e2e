/** Chance with a seed, for drawing errors: even in [0, 1) by a 32-bit mixing counter (after Steele, Lea, Flood 2014), normal by Box and Muller (1958). */
export function seededChance(seed: number) {
  let state = seed >>> 0
  const uniform = (): number => {
    state = (state + 0x9e3779b9) >>> 0
    let mixed = Math.imul(state ^ (state >>> 16), 0x85ebca6b)
    mixed = Math.imul(mixed ^ (mixed >>> 13), 0xc2b2ae35)
    return ((mixed ^ (mixed >>> 16)) >>> 0) / 4_294_967_296
  }
  return {
    uniform,
    normal: (): number => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform()),
    /** Even, with mean 0 and standard deviation 1. */
    rectangular: (): number => (2 * uniform() - 1) * Math.sqrt(3),
  }
}
export type SeededChance = ReturnType<typeof seededChance>

export const meanOf = (values: readonly number[]): number => values.reduce((sum, one) => sum + one, 0) / values.length
export function deviationOf(values: readonly number[]): number {
  const mean = meanOf(values)
  return Math.sqrt(values.reduce((sum, one) => sum + (one - mean) ** 2, 0) / (values.length - 1))
}
export const rootMeanSquare = (values: readonly number[]): number =>
  Math.sqrt(values.reduce((sum, one) => sum + one * one, 0) / values.length)
