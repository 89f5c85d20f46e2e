import type { TestAnswer } from '../../protocols/live/test.ts'
import { statedResults } from './average-infos.ts'
import { channelInfos, limitInfos } from './channel-infos.ts'
import { testOfRecordings } from './test-recordings.ts'
import type { RunAsked } from './tested-run.ts'

/** A test of several recordings, as screens and scripts are told it. */
export function toldTest(asked: readonly RunAsked[]): TestAnswer {
  const { runs, results, notes } = testOfRecordings(asked)
  const [first] = runs
  if (!first) throw new Error('a test of recordings has at least one run')
  return {
    runs: runs.map(({ asked: { name: recording }, runName: name, invented, results: [result] }) => ({
      recording,
      name,
      startMs: result?.row.startMs ?? 0,
      endMs: result?.row.endMs ?? 0,
      invented,
    })),
    channels: channelInfos(first.station, first.context),
    limits: limitInfos(first.context),
    results: statedResults(first.station),
    rows: results.map((row) => ({
      ...row,
      verdicts: row.verdicts.map((verdict) => ({ ...verdict })),
      runs: row.runs.map((run) => ({ ...run })),
    })),
    notes: [...notes],
  }
}
