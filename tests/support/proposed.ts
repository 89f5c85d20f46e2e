import { expect } from 'vitest'
import type { Proposal, ProposedColumn } from '../../protocols/instrument/propose/proposal.ts'
import { type ProposeOptions, proposeProfile } from '../../protocols/instrument/propose/propose.ts'
import { linesOf, toBytes } from './line-reading.ts'

/** The proposal for a text; fails where none is made. */
export function proposed(lines: string | Uint8Array, options: ProposeOptions = {}): Proposal {
  const proposal = proposeProfile(linesOf(toBytes(lines)), options)
  if (!proposal.ok) throw new Error(`no proposal: ${JSON.stringify(proposal.tried)}`)
  return proposal
}

/** The share of the lines that count which it reads. */
export const shareRead = ({ lines }: Proposal): number => lines.read / (lines.given - lines.harmless)

/** Field → what it was taken for: `O2 vol%`, `temperature degC`, `state`; only what was named. */
export const namedFields = ({ columns }: Proposal): Record<string, string> =>
  Object.fromEntries(
    columns.flatMap(({ field, role, meaning, unit }: ProposedColumn) =>
      field === null || (role === 'value' && meaning === null)
        ? []
        : [
            [
              field,
              role === 'status' ? 'status' : [meaning?.species ?? meaning?.quantity, unit].filter(Boolean).join(' '),
            ],
          ],
    ),
  )

export const expectRead = (proposal: Proposal, least = 0.99): void =>
  expect(shareRead(proposal), JSON.stringify(proposal.lines)).toBeGreaterThanOrEqual(least)
