// First, wherever a bundler puts this module: the schemas below must find the policy set.
import '../protocols/live/strict-policy.ts'
import {
  type ActionRequest,
  answer,
  blocksAnswer,
  channelsAnswer,
  logbookAnswer,
  marksAnswer,
  type RunRequest,
  recordingsAnswer,
  seriesAnswer,
  verifyAnswer,
} from '../protocols/live/requests.ts'
import * as answerTexts from './texts/answers.ts'

/** What was asked, or why not: one sentence an operator can act on. */
export type Asked<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly errors: readonly string[] }

/** What is needed of a schema. */
interface Reads<T> {
  safeParse(value: unknown): { readonly success: true; readonly data: T } | { readonly success: false }
}
export async function ask<T>(schema: Reads<T>, path: string, init: RequestInit = {}): Promise<Asked<T>> {
  try {
    const response = await fetch(path, { ...init, headers: { accept: 'application/json', ...init.headers } })
    if (response.status === 401) location.assign('sign-in')
    const body: unknown = await response.json().catch(() => null)
    if (!response.ok) {
      const told = answer.safeParse({ ok: false, ...(body ?? {}) })
      return {
        ok: false,
        errors: told.success && told.data.errors.length ? told.data.errors : [answerTexts.refused(response.status)],
      }
    }
    const parsed = schema.safeParse(body)
    return parsed.success ? { ok: true, value: parsed.data } : { ok: false, errors: [answerTexts.unreadable] }
  } catch (error) {
    // A request that the page itself gave up is no trouble; everything else is a line that does not carry.
    return {
      ok: false,
      errors: error instanceof DOMException && error.name === 'AbortError' ? [] : [answerTexts.noAnswer],
    }
  }
}
const sent = (found: Asked<{ readonly ok: boolean; readonly errors: readonly string[] }>): Asked<true> =>
  !found.ok ? found : found.value.ok ? { ok: true, value: true } : { ok: false, errors: found.value.errors }
export const askByPost = <T>(schema: Reads<T>, path: string, body: unknown): Promise<Asked<T>> =>
  ask(schema, path, {
    method: 'POST',
    body: JSON.stringify(body),
    headers: { 'content-type': 'application/json' },
  })
const postJson = (path: string, body: unknown) => askByPost(answer, path, body).then(sent)

export type Query = Readonly<Record<string, string | number | null>>
export function withQuery(path: string, query: Query): string {
  const set = Object.entries(query).filter(([, value]) => value !== null && value !== '')
  return set.length ? `${path}?${new URLSearchParams(set.map(([key, value]) => [key, String(value)]))}` : path
}
export const recordingPath = (recording: string | null, part: string) =>
  `api/recordings/${encodeURIComponent(recording ?? 'current')}/${part}`

export const askRecordings = () => ask(recordingsAnswer, 'api/recordings')
export const askChannels = (recording: string) => ask(channelsAnswer, recordingPath(recording, 'channels'))
/** `recording` null: the one that is running. */
export const askBlocks = (recording: string | null, query: Query) =>
  ask(blocksAnswer, withQuery(recordingPath(recording, 'blocks'), query))
export const askLogbook = (recording: string | null, query: Query) =>
  ask(logbookAnswer, withQuery(recordingPath(recording, 'logbook'), query))
export const askMarks = (recording: string | null, query: Query, signal: AbortSignal) =>
  ask(marksAnswer, withQuery(recordingPath(recording, 'marks'), query), { signal })
export const askSeries = (recording: string | null, query: Query, signal: AbortSignal) =>
  ask(seriesAnswer, withQuery(recordingPath(recording, 'series'), query), { signal })
export const askVerification = (recording: string) => ask(verifyAnswer, recordingPath(recording, 'verify'))
/** `decimal`: of numbers in CSV; a point unless it is said. */
export const exportPath = (recording: string | null, format: 'csv' | 'json' | 'xlsx', decimal: '.' | ',' = '.') =>
  withQuery(recordingPath(recording, 'export'), { format, decimal: format === 'csv' && decimal === ',' ? ',' : null })

export const act = (request: ActionRequest) => postJson('api/actions', request)
export const controlRun = (request: RunRequest) => postJson('api/run', request)
export const recordingFilePath = (recording: string) => recordingPath(recording, 'file')
export const bringRecording = (name: string, file: Blob) =>
  ask(answer, withQuery('api/recordings', { name }), {
    method: 'POST',
    body: file,
    headers: { 'content-type': 'application/vnd.sqlite3' },
  }).then(sent)
/** `confirm`: the recording’s id, typed once more. */
export const removeRecording = (recording: string, by: string, confirm: string) =>
  postJson(recordingPath(recording, 'removal'), { by, confirm })
