import { parentPort, workerData } from 'node:worker_threads'
import { exportRecordingTo } from './export-recording.ts'
import type { LongWork, LongWorkMessage } from './long-work-order.ts'
import { verifyRecording } from './verify-recording.ts'

const work = workerData as LongWork

async function done(): Promise<LongWorkMessage> {
  try {
    return {
      ok: true,
      result: work.work === 'verify' ? verifyRecording(work.path) : await exportRecordingTo(work.path, work.target),
    }
  } catch (error) {
    return { ok: false, error: error instanceof Error ? error.message : String(error) }
  }
}

parentPort?.postMessage(await done())
