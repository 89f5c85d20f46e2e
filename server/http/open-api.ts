import { z } from 'zod'
import { clientMessage, incrementMessage, snapshotMessage } from '../../protocols/live/messages.ts'
import { answer } from '../../protocols/live/requests.ts'
import type { AnswerShape, Route } from './route.ts'

/** The interface as an OpenAPI 3.1 document, made from the schemas that check requests and answers. */
export function openApi(routes: readonly Route[], version: string) {
  const paths: Record<string, Record<string, unknown>> = { '/api/live': { get: live } }
  for (const route of routes) {
    const path = route.path.replaceAll(/:(\w+)/g, '{$1}')
    paths[path] = { ...paths[path], [route.method]: operation(route) }
  }
  return {
    openapi: '3.1.0',
    info: {
      title: 'Flueledger station',
      version,
      description: 'Times are milliseconds since 1970 UTC. null is no value, never zero.',
    },
    paths,
    components: {
      schemas: {
        Refusal: shape(answer),
        SnapshotMessage: shape(snapshotMessage),
        IncrementMessage: shape(incrementMessage),
        ClientMessage: shape(clientMessage, 'input'),
      },
    },
  }
}

const pathParameters = { id: 'Id of a recording, or `current`.', name: 'Name of a calculation.' }

function operation(route: Route) {
  const inPath = Object.entries(pathParameters)
    .filter(([name]) => route.path.includes(`:${name}`))
    .map(([name, description]) => ({ name, in: 'path', required: true, schema: { type: 'string' }, description }))
  return {
    summary: route.summary,
    parameters: [...inPath, ...queryParameters(route.query)],
    ...(route.bodyType
      ? {
          requestBody: {
            required: true,
            content: { [route.bodyType]: { schema: { type: 'string', format: 'binary' } } },
          },
        }
      : {}),
    ...(route.body
      ? { requestBody: { required: true, content: { 'application/json': { schema: shape(route.body, 'input') } } } }
      : {}),
    responses: {
      ...Object.fromEntries(Object.entries(route.answers).map(([status, told]) => [status, response(told)])),
      default: {
        description: 'Refused: the errors say what is allowed.',
        content: { 'application/json': { schema: { $ref: '#/components/schemas/Refusal' } } },
      },
    },
  }
}

function queryParameters(query: Route['query']) {
  if (query === null) return []
  const { properties = {}, required = [] } = shape(query, 'input')
  return Object.entries(properties).map(([name, schema]) => ({
    name,
    in: 'query',
    required: required.includes(name),
    schema,
  }))
}

function response({ description, schema, contentType = 'application/json' }: AnswerShape) {
  return { description, content: { [contentType]: schema ? { schema: shape(schema) } : {} } }
}

function shape(schema: z.core.$ZodType, io: 'input' | 'output' = 'output') {
  const { $schema: _dialect, ...rest } = z.toJSONSchema(schema, { io })
  return rest
}

const live = {
  summary:
    'WebSocket: a snapshot, then numbered increments. Messages: SnapshotMessage, IncrementMessage; to the station: ClientMessage.',
  parameters: [
    {
      name: 'replay',
      in: 'query',
      required: false,
      schema: { type: 'string' },
      description: 'Id of a recording to play back to this viewer alone.',
    },
  ],
  responses: { 101: { description: 'The line is open.' }, default: { description: 'Refused.' } },
}
