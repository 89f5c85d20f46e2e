import type { SnapshotMessage } from '../../protocols/live/messages.ts'
import type { StationFile } from '../engine/settings/station-file.ts'

/** Which averages the station forms, for screens. */
export function averageLengths({
  averaging,
}: StationFile): Pick<SnapshotMessage['averages'], 'blocks' | 'rolling' | 'long'> {
  const ofBlocks = (window: 'fixed' | 'rolling') =>
    averaging.ofBlocks.flatMap((one) => (one.window === window ? [one.average] : []))
  return {
    blocks: averaging.blocks,
    rolling: [...averaging.rolling, ...ofBlocks('rolling')],
    long: [...ofBlocks('fixed'), ...(averaging.run === 'none' ? [] : ['run'])],
  }
}

/** How results are stated, for screens. */
export const statedResults = ({ results }: StationFile): SnapshotMessage['results'] => ({
  label: results.label,
  ties: results.rounding.ties,
  decimals: results.rounding.decimals ?? null,
  significantFigures: results.rounding.significantFigures ?? null,
  comparison: results.comparison,
  uncertainty: results.uncertainty ?? null,
})
