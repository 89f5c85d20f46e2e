import { parentPort, workerData } from 'node:worker_threads'
import { asDiskTrouble } from '../recording/trouble.ts'
import { exitStatus, statusOf } from '../trouble.ts'
import { amendRecording } from './amendments/amend-recording.ts'
import { compareSettings } from './compare-settings.ts'
import { explainRecording } from './explain/explain-recording.ts'
import { exportRecordingTo } from './export-recording.ts'
import type { LongWork, LongWorkMessage, LongWorkResult } from './long-work-order.ts'
import { toldTest } from './told-test.ts'
import { verifyRecording } from './verify-recording.ts'

const work = workerData as LongWork

function resultOf(asked: LongWork): LongWorkResult<LongWork> | Promise<LongWorkResult<LongWork>> {
  switch (asked.work) {
    case 'verify':
      return verifyRecording(asked.path)
    case 'export':
      return exportRecordingTo(asked.path, asked.target)
    case 'explain':
      return explainRecording(asked.path, asked.asked, asked.page)
    case 'compare':
      return compareSettings(asked.path, asked.request)
    case 'test':
      return toldTest(asked.runs)
    case 'amend':
      return amendRecording(asked.path, asked.order)
  }
}

async function done(): Promise<LongWorkMessage> {
  try {
    return { ok: true, result: await resultOf(work) }
  } catch (error) {
    const status = statusOf(asDiskTrouble(error))
    return {
      ok: false,
      error: error instanceof Error ? error.message : String(error),
      status: status === exitStatus.defect ? null : status,
    }
  }
}

parentPort?.postMessage(await done())
