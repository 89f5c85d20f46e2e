import { docsPage } from '../docs-page.ts'
import { openApi } from '../open-api.ts'
import { type Route, route } from '../route.ts'

/** Describes `routes` and itself. Made at the first request and kept: it changes with the version alone. */
export function descriptionRoutes(routes: readonly Route[], version: string): Route[] {
  let described: ReturnType<typeof openApi> | null = null
  let page: string | null = null
  const own: Route[] = [
    route({
      method: 'get',
      path: '/api/openapi.json',
      summary: 'This interface as an OpenAPI 3.1 document.',
      answers: { 200: { description: 'The document.', contentType: 'application/json' } },
      handle({ response }) {
        described ??= openApi(all, version)
        response.json(described)
      },
    }),
    route({
      method: 'get',
      path: '/api/docs',
      summary: 'This interface as a page to read.',
      answers: { 200: { description: 'The page.', contentType: 'text/html' } },
      handle({ response }) {
        page ??= docsPage(all, version)
        response.type('html').send(page)
      },
    }),
  ]
  const all = [...routes, ...own]
  return own
}
