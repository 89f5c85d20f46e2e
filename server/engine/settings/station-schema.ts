import { z } from 'zod'
import { stationShape } from './station-shape.ts'

/** The JSON Schema of the station file as it is written, for editors, for the docs, and for the form of the set-up. */
export const stationSchema = (): Readonly<Record<string, unknown>> => z.toJSONSchema(stationShape, { io: 'input' })
