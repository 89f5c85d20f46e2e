import { type Metric, openMetricsText, openMetricsType } from '../open-metrics.ts'
import { type Route, route } from '../route.ts'
import type { StationFace } from '../station-face.ts'

/** ofHub: what the hub tells of its viewers, beside what the station tells. */
export const metricsRoute = (face: StationFace, ofHub: () => readonly Metric[]): Route =>
  route({
    method: 'get',
    path: '/metrics',
    summary: 'Counters and gauges as OpenMetrics text, for a monitoring system.',
    answers: { 200: { description: 'OpenMetrics 1.0 text.', contentType: openMetricsType } },
    handle({ response }) {
      response.setHeader('content-type', openMetricsType)
      response.send(Buffer.from(openMetricsText([...face.metrics(), ...ofHub()])))
    },
  })
