import { z } from 'zod'
import { escaped } from './html-text.ts'
import type { Route } from './route.ts'

/** A plain page, without script or style: it needs nothing that the content policy forbids. */
export function docsPage(routes: readonly Route[], version: string): string {
  const sections = routes.map(
    (route) =>
      `<section><h2><code>${route.method.toUpperCase()} ${escaped(route.path)}</code></h2><p>${escaped(route.summary)}</p>${querySection(route.query)}${bodySection(route.body)}${answerList(route)}</section>`,
  )
  return `<!doctype html><html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width"><title>Interface of this station</title></head><body><main><h1>Interface of this station</h1><p>Flueledger ${escaped(version)}. The same for programs: <a href="openapi.json">openapi.json</a>. Times are milliseconds since 1970 UTC; null is no value, never zero. What is refused is answered with <code>{ "ok": false, "errors": [ … ] }</code>.</p><section><h2><code>WebSocket /api/live</code></h2><p>A snapshot, then numbered increments; with <code>?replay=ID</code> a recording played back.</p></section>${sections.join('')}</main></body></html>`
}

function querySection(query: Route['query']): string {
  if (query === null) return ''
  const { properties = {}, required = [] } = z.toJSONSchema(query, { io: 'input' })
  const rows = Object.entries(properties).map(([name, schema]) => {
    const told = typeof schema === 'object' ? schema : {}
    const choices = told.enum ? ` One of: ${told.enum.join(' ')}` : ''
    const otherwise = told.default === undefined ? '' : ` Otherwise: ${String(told.default)}`
    return `<dt><code>${escaped(name)}</code>${required.includes(name) ? ' (needed)' : ''}</dt><dd>${escaped(`${told.description ?? ''}${choices}${otherwise}`)}</dd>`
  })
  return `<dl>${rows.join('')}</dl>`
}

const bodySection = (body: Route['body']): string =>
  body === null
    ? ''
    : `<details><summary>What is sent, as JSON</summary><pre>${escaped(JSON.stringify(z.toJSONSchema(body, { io: 'input' }), null, 2))}</pre></details>`

const answerList = ({ answers }: Route): string =>
  `<ul>${Object.entries(answers)
    .map(([status, { description }]) => `<li>${status}: ${escaped(description)}</li>`)
    .join('')}</ul>`
