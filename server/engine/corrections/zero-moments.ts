import { countFlag } from '../../../protocols/words/count-flags.ts'
import { Extremes } from './extremes.ts'

/** Of this module's own: what belongs to another one is looked up anew each time, here for each reading. */
const { counts } = countFlag

/** Which groups of a set rest on zeros: their place in the set, what must count in them, the channel of each of their lanes. */
export interface ZeroGroup {
  readonly group: number
  readonly needs: readonly number[]
  readonly lanes: readonly number[]
  /** Whether what it takes zeros from is diluted; a group with both kinds is refused (`checkCorrections`). */
  readonly isDiluted: boolean
}

/** By how much corrected values of a lane change per unit of dilution: `constant` + `perMs` · (t − start of the minute), to be subtracted. */
export interface Slope {
  readonly constant: number
  readonly perMs: number
}

/**
 * What one minute must know of its readings so that another zero can be put in later, without the readings: a corrected value
 * is linear in the zero, and the zero is linear in time, so sums over the dilution d and over u = d · (t − start of the minute) are enough.
 *
 * Time-weighted sums serve the integrals. Unweighted co-moments of value, d and u serve the standard deviation (Welford 1962, for
 * pairs), the readings that can become lowest or highest (`Extremes`) the minimum and maximum.
 * Where the zero changes within a minute, what came before is corrected at once and then stands as done.
 */
export class ZeroMoments {
  readonly startMs: number
  private readonly groups: readonly ZeroGroup[]
  private readonly dilutionMs: Float64Array
  private readonly dilutionTimeMs: Float64Array
  /** What has been corrected already, by group and lane: to be added to the integrals. */
  readonly shift: readonly Float64Array[]
  private readonly points: readonly PointMoments[]

  constructor(startMs: number, groups: readonly ZeroGroup[]) {
    this.startMs = startMs
    this.groups = groups
    this.dilutionMs = new Float64Array(groups.length)
    this.dilutionTimeMs = new Float64Array(groups.length)
    this.shift = groups.map(({ lanes }) => new Float64Array(lanes.length))
    this.points = groups.map(() => new PointMoments())
  }

  /** A reading of `at` that represents `ms` of this minute; `isPoint`: its time lies in it. `corrected`, `flags`: by the station's channel index; `factor`: of dilution. */
  take(at: number, ms: number, isPoint: boolean, corrected: Float64Array, flags: Uint8Array, factor: number): void {
    for (let place = 0; place < this.groups.length; place++) {
      const { needs, lanes, isDiluted } = this.groups[place] as ZeroGroup
      if (!countTogether(needs, flags)) continue
      const first = corrected[lanes[0] as number] as number
      if (Number.isNaN(first)) continue
      const dilution = isDiluted ? factor : 1
      const time = dilution * (at - this.startMs)
      this.dilutionMs[place] = (this.dilutionMs[place] as number) + dilution * ms
      this.dilutionTimeMs[place] = (this.dilutionTimeMs[place] as number) + time * ms
      if (isPoint) this.points[place]?.add(first, dilution, time)
    }
  }

  /** Puts other zeros in for all readings so far. `slope`: of each channel that is a lane. */
  correct(slope: (channel: number) => Slope): void {
    this.groups.forEach(({ lanes }, place) => {
      const shift = this.shift[place] as Float64Array
      lanes.forEach((channel, lane) => {
        const { constant, perMs } = slope(channel)
        shift[lane] =
          (shift[lane] as number) -
          constant * (this.dilutionMs[place] as number) -
          perMs * (this.dilutionTimeMs[place] as number)
      })
      this.points[place]?.correct(slope(lanes[0] as number))
      this.dilutionMs[place] = 0
      this.dilutionTimeMs[place] = 0
    })
  }

  /** Statistics of the readings of a group, as corrected so far; null where none counted. */
  pointsOf(place: number): PointMoments | null {
    const points = this.points[place]
    return points && points.count > 0 ? points : null
  }
}

/** Running moments of the readings of one group: value x, dilution d and u. */
class PointMoments {
  count = 0
  centre = 0
  squares = 0
  private readonly extremes = new Extremes()
  private meanD = 0
  private meanU = 0
  private xd = 0
  private xu = 0
  private dd = 0
  private du = 0
  private uu = 0

  get minimum(): number {
    return this.extremes.minimum
  }

  get maximum(): number {
    return this.extremes.maximum
  }

  add(x: number, d: number, u: number): void {
    const count = ++this.count
    const [offX, offD, offU] = [x - this.centre, d - this.meanD, u - this.meanU]
    this.centre += offX / count
    this.meanD += offD / count
    this.meanU += offU / count
    const [newD, newU] = [d - this.meanD, u - this.meanU]
    this.squares += offX * (x - this.centre)
    this.xd += offX * newD
    this.xu += offX * newU
    this.dd += offD * newD
    this.du += offD * newU
    this.uu += offU * newU
    this.extremes.add(x, d, u)
  }

  /** x − constant · d − perMs · u takes the place of x; d and u of what came so far are then done with. */
  correct({ constant: a, perMs: b }: Slope): void {
    if (this.count > 0) {
      this.centre -= a * this.meanD + b * this.meanU
      const squares =
        this.squares + a * a * this.dd + b * b * this.uu - 2 * a * this.xd - 2 * b * this.xu + 2 * a * b * this.du
      this.squares = Math.max(0, squares)
      this.extremes.correct(a, b)
    }
    this.meanD = this.meanU = this.xd = this.xu = this.dd = this.du = this.uu = 0
  }
}

function countTogether(needs: readonly number[], flags: Uint8Array): boolean {
  for (let next = 0; next < needs.length; next++) if (flags[needs[next] as number] !== counts) return false
  return true
}
