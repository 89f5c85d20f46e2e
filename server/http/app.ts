import compression from 'compression'
import express, { type ErrorRequestHandler, type Express } from 'express'
import helmet from 'helmet'
import { exitStatus, statusOf } from '../trouble.ts'
import { refusalAtTheDoor } from './admission.ts'
import { mountGate } from './gate.ts'
import type { Metric } from './open-metrics.ts'
import { type Refusal, refuse } from './refusal.ts'
import { mount } from './route.ts'
import { actionsRoute, runRoute } from './routes/actions.ts'
import { amendmentsRoute, amendRoute } from './routes/amendments.ts'
import { descriptionRoutes } from './routes/api-description.ts'
import { blocksRoute } from './routes/blocks.ts'
import { calculationRoutes } from './routes/calculations.ts'
import { channelsRoute } from './routes/channels.ts'
import { compareRoute } from './routes/compare.ts'
import { explainRoute } from './routes/explain.ts'
import { exportRoute } from './routes/export.ts'
import { healthRoute } from './routes/health.ts'
import { logbookRoute } from './routes/logbook.ts'
import { marksRoute } from './routes/marks.ts'
import { metricsRoute } from './routes/metrics.ts'
import { phasesRoute } from './routes/phases.ts'
import { recordingFileRoutes } from './routes/recording-file.ts'
import { recordingsRoute } from './routes/recordings.ts'
import { seriesRoute } from './routes/series.ts'
import { setUpRoutes } from './routes/set-up.ts'
import { settingsRoute } from './routes/settings.ts'
import { testsRoute } from './routes/tests.ts'
import { verifyRoute } from './routes/verify.ts'
import { noSetUp, type SetUpFace } from './set-up-face.ts'
import type { SignIn } from './sign-in.ts'
import type { StationFace } from './station-face.ts'

export interface AppParts {
  readonly face: StationFace
  /** Where it is not given, the station is not set up from the browser. */
  readonly setUp?: SetUpFace | undefined
  /** Folder of the built dashboard, with index.html. */
  readonly webFolder: string
  readonly version: string
  readonly hubMetrics: () => readonly Metric[]
  readonly log: (text: string) => void
  /** Names of this machine that requests may be sent to, beside the loopback's. */
  readonly names: readonly string[]
  /** null: nobody is asked who they are; only for the loopback. */
  readonly signIn: SignIn | null
}

/** Largest body of a request, and largest message over the WebSocket, bytes. */
export const largestMessage = 65_536

/**
 * Nothing from elsewhere, no inline script or style, Trusted Types enforced. Over plain http neither a turn to https nor
 * the policies that browsers honour only on https are sent: they leave the page empty or log an error.
 */
const pageGuards = helmet({
  contentSecurityPolicy: {
    useDefaults: false,
    directives: {
      defaultSrc: ["'self'"],
      objectSrc: ["'none'"],
      baseUri: ["'none'"],
      frameAncestors: ["'none'"],
      formAction: ["'self'"],
      requireTrustedTypesFor: ["'script'"],
      trustedTypes: ['lit-html'],
    },
  },
  // Stricter, and a browser would hide from the sign-in page's own form where it comes from.
  referrerPolicy: { policy: 'same-origin' },
  strictTransportSecurity: false,
  crossOriginOpenerPolicy: false,
  originAgentCluster: false,
})

export function createApp({ face, setUp, webFolder, version, hubMetrics, log, names, signIn }: AppParts): Express {
  const app = express()
  app.use(pageGuards)
  app.use((request, response, next) => {
    const refusal = refusalAtTheDoor(request, names)
    if (refusal) refuse(response, refusal)
    else next()
  })
  if (signIn) mountGate(app, signIn)
  // A phone at the edge of the wireless network loads the page and weeks of a trace through a thin pipe.
  app.use(compression())
  app.use(['/api', '/healthz', '/metrics'], (_request, response, next) => {
    response.setHeader('cache-control', 'no-store')
    next()
  })
  // Not inflated: a small body could otherwise grow into a large one.
  app.use(express.json({ limit: largestMessage, inflate: false }))
  const routes = [
    healthRoute(face),
    metricsRoute(face, hubMetrics),
    recordingsRoute(face),
    ...recordingFileRoutes(face),
    channelsRoute(face),
    blocksRoute(face),
    seriesRoute(face),
    marksRoute(face),
    logbookRoute(face),
    phasesRoute(face),
    verifyRoute(face),
    explainRoute(face),
    settingsRoute(face),
    testsRoute(face),
    compareRoute(face),
    amendmentsRoute(face),
    amendRoute(face),
    exportRoute(face),
    actionsRoute(face),
    runRoute(face),
    ...calculationRoutes(),
    ...setUpRoutes(setUp ?? noSetUp),
  ]
  mount(app, [...routes, ...descriptionRoutes(routes, version)])
  app.use(
    express.static(webFolder, {
      cacheControl: false,
      setHeaders: (response, path) =>
        response.setHeader(
          'cache-control',
          /[/\\]assets[/\\]/.test(path) ? 'public, max-age=31536000, immutable' : 'no-cache',
        ),
    }),
  )
  app.use((_request, response) =>
    refuse(response, { status: 404, errors: ['there is nothing here; /api/docs lists what can be asked'] }),
  )
  app.use(troubleHandler(log))
  return app
}

/** What a parser refused, and what a station cannot do now, is told; anything else is a defect of ours, answered with 500. */
function troubleHandler(log: AppParts['log']): ErrorRequestHandler {
  return (error: unknown, request, response, _next) => {
    // The reader went away in the middle of an answer: no trouble, and nobody to tell.
    if (response.destroyed) return
    const byParser = refusedByParser(error)
    const refusal = byParser ?? refusedByStation(error)
    if (byParser === null)
      log(`http: ${request.method} ${JSON.stringify(request.path.slice(0, 200))}: ${JSON.stringify(String(error))}`)
    if (response.headersSent) response.destroy()
    else
      refuse(
        response,
        refusal ?? { status: 500, errors: ['the station could not answer: a defect of ours, noted in its log'] },
      )
  }
}

/** A trouble's text is for whoever asked. */
function refusedByStation(error: unknown): Refusal | null {
  const status = statusOf(error)
  if (status === exitStatus.defect || !(error instanceof Error)) return null
  return status === exitStatus.diskFull
    ? { status: 507, errors: [`${error.message}: make room on the disk, then ask again`] }
    : { status: 409, errors: error.message.split('\n') }
}

const bodyTroubles: Readonly<Record<string, string>> = {
  'entity.too.large': `a body holds at most ${largestMessage} bytes`,
  'entity.parse.failed': 'the body is not JSON',
  'encoding.unsupported': 'a body is sent without Content-Encoding',
  'charset.unsupported': 'a body is sent as UTF-8',
}

function refusedByParser(error: unknown): Refusal | null {
  if (
    !(error instanceof Error) ||
    !('status' in error) ||
    typeof error.status !== 'number' ||
    error.status < 400 ||
    error.status > 499
  )
    return null
  const told = 'type' in error ? bodyTroubles[String(error.type)] : undefined
  return { status: error.status, errors: [told ?? 'the request cannot be read'] }
}
