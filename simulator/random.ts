/** A stream of chance with a seed. The same seed gives the same numbers on every machine. */
export interface Chance {
  /** Evenly spread in [0, 1), 53 bits. */
  uniform(): number
  /** Mean 0, standard deviation 1. */
  normal(): number
  /** A whole number in [0, below). */
  integer(below: number): number
}

const rotate = (x: number, by: number): number => (x << by) | (x >>> (32 - by))

/**
 * xoshiro128** 1.1: period 2^128 − 1, four 32-bit words of state, not all zero. Returns whole numbers in [0, 2^32).
 * Source: D. Blackman and S. Vigna, Scrambled linear pseudorandom number generators, ACM Trans. Math. Softw. 47 (2021).
 */
export function xoshiro128(state: readonly [number, number, number, number]): () => number {
  let [a, b, c, d] = state
  return () => {
    const result = Math.imul(rotate(Math.imul(b, 5), 7), 9)
    const t = b << 9
    c ^= a
    d ^= b
    b ^= c
    a ^= d
    c ^= t
    d = rotate(d, 11)
    return result >>> 0
  }
}

/** FNV-1a, 32 bits: a name becomes a number. */
function nameHash(name: string): number {
  let hash = 0x811c9dc5
  for (let index = 0; index < name.length; index++) hash = Math.imul(hash ^ name.charCodeAt(index), 0x01000193)
  return hash >>> 0
}

/** Spreads one word into many: the mixing function of SplitMix with 32-bit constants (common practice, no authority). */
function spread(seed: number): () => number {
  let state = seed | 0
  return () => {
    state = (state + 0x9e3779b9) | 0
    let mixed = Math.imul(state ^ (state >>> 16), 0x21f0aaad)
    mixed = Math.imul(mixed ^ (mixed >>> 15), 0x735a2d97)
    return (mixed ^ (mixed >>> 15)) >>> 0
  }
}

/**
 * A stream of its own for each name, so that one more draw for one thing moves nothing else.
 * seed: whole number in [0, 2^32). Normal numbers by Marsaglia's polar method (SIAM Review 6, 1964).
 */
export function chance(seed: number, name: string): Chance {
  const next = spread(seed ^ nameHash(name))
  const word = xoshiro128([next(), next(), next(), next() | 1])
  const uniform = (): number => ((word() >>> 5) * 67_108_864 + (word() >>> 6)) / 9_007_199_254_740_992
  let kept = Number.NaN
  return {
    uniform,
    integer: (below) => Math.floor(uniform() * below),
    normal() {
      if (!Number.isNaN(kept)) {
        const value = kept
        kept = Number.NaN
        return value
      }
      for (;;) {
        const x = 2 * uniform() - 1
        const y = 2 * uniform() - 1
        const square = x * x + y * y
        if (square >= 1 || square === 0) continue
        const scale = Math.sqrt((-2 * Math.log(square)) / square)
        kept = y * scale
        return x * scale
      }
    },
  }
}
