import { statfsSync } from 'node:fs'
import { dirname } from 'node:path'
import { parentPort } from 'node:worker_threads'
import { makeRecordingFile, openRecordingFile, type RecordingFile } from './recording-file.ts'
import { errorText, RecordingTrouble, type RecordingTroubleCode, storageFailure } from './trouble.ts'
import type { WriterAnswer, WriterRequest } from './writer-messages.ts'

/** How long nothing must have come before the log is copied back, ms: longer than a commit takes, shorter than most streams' interval. */
const idleAfterMs = 50

const port = parentPort
let file: RecordingFile | null = null
let folder = '.'
let idle: NodeJS.Timeout | null = null

port?.on('message', (request: WriterRequest) => {
  if (idle) clearTimeout(idle)
  port.postMessage(answerTo(request))
  idle = setTimeout(copyLogBack, idleAfterMs)
})

function answerTo(request: WriterRequest): WriterAnswer {
  try {
    return answered(request)
  } catch (error) {
    return failureOf(error)
  }
}

function answered(request: WriterRequest): WriterAnswer {
  switch (request.ask) {
    case 'create':
      file = makeRecordingFile(request.path, request.header, request.token)
      folder = dirname(request.path)
      return { answer: 'opened', stored: file.stored }
    case 'resume':
    case 'reopen':
      file?.abandon()
      file = null
      folder = dirname(request.path)
      file = openRecordingFile(request.path, request.token, request.ask)
      return { answer: 'opened', stored: file.stored }
    case 'store':
      if (!file) throw new RecordingTrouble('io-error', 'the file is not open')
      return { answer: 'stored', ...file.store(request.batch, Date.now()) }
    case 'close':
      file?.close()
      file = null
      return { answer: 'closed' }
  }
}

/** After a full disk the transaction is rolled back and the file stays sound; after any other failure it is opened anew. */
function failureOf(error: unknown): WriterAnswer {
  const code = error instanceof RecordingTrouble ? error.code : storageFailure(error)
  if (!code) return { answer: 'defect', detail: errorText(error) }
  if (code !== 'disk-full' && file) {
    file.abandon()
    file = null
  }
  return {
    answer: 'failed',
    code: diskIsFull(code) ? 'disk-full' : code,
    detail: errorText(error),
    isOpen: file !== null,
  }
}

/** SQLite cannot always tell a full disk from a failing one, when it is the index of its log that finds no room. */
function diskIsFull(code: RecordingTroubleCode): boolean {
  if (code !== 'io-error') return code === 'disk-full'
  try {
    return statfsSync(folder).bavail === 0
  } catch {
    // The folder itself cannot be asked: then it is the failing disk that it was said to be.
    return false
  }
}

function copyLogBack(): void {
  try {
    file?.checkpoint()
  } catch {
    // What failed here is only the copying; the log still has all of it, and the next commit hears of a failing disk.
  }
}
