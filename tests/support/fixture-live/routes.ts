import { existsSync } from 'node:fs'
import express from 'express'
import { amendRequest } from '../../../protocols/live/amend.ts'
import { type ActionRequest, actionRequest, type RunRequest, runRequest } from '../../../protocols/live/requests.ts'
import { mount } from '../../../server/http/route.ts'
import { calculationRoutes } from '../../../server/http/routes/calculations.ts'
import { noSetUp } from '../../../server/http/set-up-face.ts'
import { inventedAmendments } from './amendments.ts'
import { blockRows, marksOf, recordingsAt, seriesOf } from './answers.ts'
import type { logbookUpTo } from './happenings.ts'
import { logbookAnswer, logbookQuery } from './logbook-answers.ts'
import { channels, nightStart } from './scenario.ts'

export interface Answer {
  ok: boolean
  errors: string[]
}
export interface RouteParts {
  now: () => number
  act: (request: ActionRequest) => Answer
  run: (request: RunRequest) => Answer
  logbook: () => ReturnType<typeof logbookUpTo>
  removals: { id: string; by: string }[]
}
/** The policy that the real server sends, at its strictest. */
const policy =
  "default-src 'self'; object-src 'none'; base-uri 'none'; frame-ancestors 'none'; require-trusted-types-for 'script'; trusted-types lit-html"

export function fixtureApp(web: string, { now, act, run, logbook, removals }: RouteParts) {
  const app = express()
  app.use((_request, response, next) => {
    response.setHeader('content-security-policy', policy)
    next()
  })
  app.use(express.json())
  const number = (value: unknown, otherwise: number) =>
    Number.isFinite(Number(value)) && value !== undefined ? Number(value) : otherwise
  app.get('/api/recordings', (_request, response) => response.json(recordingsAt(now())))
  app.get('/api/recordings/:id/blocks', (request, response) =>
    response.json(blockRows(new URL(request.url, 'http://x').searchParams, now())),
  )
  app.get('/api/recordings/:id/channels', (_request, response) => response.json({ channels }))
  app.post('/api/recordings/:id/removal', (request, response) => {
    const removed = request.body.confirm === request.params.id
    if (removed) removals.push({ id: request.params.id, by: request.body.by })
    response
      .status(removed ? 200 : 400)
      .json({ ok: removed, errors: removed ? [] : ['confirm: must be the recording’s own name'] })
  })
  app.get('/api/recordings/:id/logbook', (request, response) =>
    response.json(logbookAnswer(logbook(), logbookQuery(new URL(request.url, 'http://x').searchParams))),
  )
  const amended = inventedAmendments(now)
  app.get('/api/recordings/:id/amendments', (_request, response) => response.json(amended.answer()))
  app.post('/api/recordings/:id/amend', (request, response) => {
    const done = amended.withdraw(amendRequest.parse(request.body))
    response
      .status(done ? 200 : 404)
      .json(done ?? { ok: false, errors: ['id: there is nothing of that name in force'] })
  })
  app.get('/api/recordings/:id/marks', (request, response) =>
    response.json(marksOf(new URL(request.url, 'http://x').searchParams, now(), logbook())),
  )
  app.get('/api/recordings/:id/series', (request, response) => {
    const { channels, value, from, to, columns } = request.query
    const kind = value === 'asRead' || value === 'referred' ? value : 'corrected'
    response.json(
      seriesOf(
        String(channels).split(','),
        kind,
        number(from, nightStart),
        number(to, now()),
        number(columns, 600),
        now(),
      ),
    )
  })
  app.get('/api/recordings/:id/verify', (_request, response) =>
    response.json({
      ok: true,
      engine: '0.1.0',
      seals: { ok: true, count: 540, head: '4be1…09', faults: [] },
      order: { ok: true, faults: [] },
      recomputation: { ok: true, blocks: 1880, faults: [], notes: [] },
    }),
  )
  app.get('/api/recordings/:id/export', (request, response) =>
    response.attachment(`blocks.${String(request.query.format)}`).send('run,stream\n'),
  )
  app.get('/api/set-up', (_request, response) => response.json(noSetUp.state()))
  app.get('/api/set-up/ports', (_request, response) => response.json({ ports: [] }))
  app.post('/api/actions', (request, response) => {
    const asked = actionRequest.safeParse(request.body)
    if (!asked.success)
      return response.status(400).json({ ok: false, errors: asked.error.issues.map((issue) => issue.message) })
    return response.json(act(asked.data))
  })
  app.post('/api/run', (request, response) => {
    const asked = runRequest.safeParse(request.body)
    if (!asked.success)
      return response.status(400).json({ ok: false, errors: asked.error.issues.map((issue) => issue.message) })
    return response.json(run(asked.data))
  })
  mount(app, calculationRoutes())
  if (existsSync(web)) app.use(express.static(web))
  return app
}
