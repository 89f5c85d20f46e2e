import type { Express, Request, Response } from 'express'
import { z } from 'zod'
import { faultsOf, refuse, unknownRecording } from './refusal.ts'

/** What comes back: JSON of a schema, or text or a file of a content type. */
export interface AnswerShape {
  readonly description: string
  readonly schema?: z.core.$ZodType
  readonly contentType?: string
}

export interface Asked<Q, B> {
  /** The recording's id where the path has one, else empty. */
  readonly id: string
  /** The calculation's name where the path has one, else empty. */
  readonly name: string
  readonly query: Q
  readonly body: B
  readonly response: Response
}

interface RouteWords<Q extends z.core.$ZodType, B extends z.core.$ZodType> {
  readonly method: 'get' | 'post'
  /** As express writes it: `/api/recordings/:id/blocks`. */
  readonly path: string
  readonly summary: string
  readonly query?: Q
  readonly body?: B
  /** Content type of a body that is a file; `handle` reads it from `response.req`. */
  readonly bodyType?: string
  /** By status; the refusals common to all are left out. */
  readonly answers: Readonly<Record<number, AnswerShape>>
  handle(asked: Asked<z.output<Q>, z.output<B>>): void | Promise<void>
}

/** One thing that can be asked, with all that the description of the interface says of it. */
export interface Route {
  readonly method: 'get' | 'post'
  readonly path: string
  readonly summary: string
  readonly query: z.ZodObject | null
  readonly body: z.core.$ZodType | null
  readonly bodyType: string | null
  readonly answers: Readonly<Record<number, AnswerShape>>
  run(request: Request, response: Response): Promise<void>
}

const nothingAsked = z.strictObject({})

/** Ids are names, never paths: no separator, no NUL, no leading dot. What breaks this names no recording. */
export const recordingId = z.string().regex(/^[\p{L}\p{N}_][\p{L}\p{N} ._:+-]{0,199}$/u)
export const isRecordingId = (text: string): boolean => recordingId.safeParse(text).success

/** Query and body are checked before `handle` runs; it sees only what the schemas let through. */
export function route<Q extends z.ZodObject = typeof nothingAsked, B extends z.core.$ZodType = z.ZodUnknown>(
  words: RouteWords<Q, B>,
): Route {
  const querySchema = words.query ?? nothingAsked
  const bodySchema = words.body ?? z.unknown()
  return {
    method: words.method,
    path: words.path,
    summary: words.summary,
    query: words.query ?? null,
    body: words.body ?? null,
    bodyType: words.bodyType ?? null,
    answers: words.answers,
    async run(request, response) {
      const id = String(request.params.id ?? '')
      if (words.path.includes(':id') && !isRecordingId(id)) return refuse(response, unknownRecording(id.slice(0, 60)))
      const query = querySchema.safeParse(request.query)
      const body = z.safeParse(bodySchema, request.body)
      const errors = [
        ...(query.success ? [] : faultsOf(query.error, querySchema)),
        ...(body.success ? [] : faultsOf(body.error, bodySchema)),
      ]
      if (!query.success || !body.success) return refuse(response, { status: 400, errors })
      const name = String(request.params.name ?? '')
      await words.handle({ id, name, query: query.data as z.output<Q>, body: body.data as z.output<B>, response })
    },
  }
}

/** Mounts routes; another method on one of their paths is told which there are. */
export function mount(app: Express, routes: readonly Route[]): void {
  for (const { method, path, run } of routes) app[method](path, run)
  for (const path of new Set(routes.map((found) => found.path))) {
    const methods = routes.filter((found) => found.path === path).map(({ method }) => method.toUpperCase())
    app.all(path, (_request, response) => {
      response.setHeader('allow', methods.join(', '))
      refuse(response, { status: 405, errors: [`only ${methods.join(' and ')} can be asked here`] })
    })
  }
}
