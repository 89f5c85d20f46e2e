import { type CalculationRequest, calculationAnswer, calculationsAnswer } from '../../../protocols/live/calculations.ts'
import { ask, askByPost } from '../../answers.ts'

/** Whom the calculations ask: the station, unless they are handed their answers. */
export const askStation = {
  all: () => ask(calculationsAnswer, 'api/calculations'),
  result: (name: string, request: CalculationRequest) =>
    askByPost(calculationAnswer, `api/calculations/${encodeURIComponent(name)}`, request),
}
export type CalculationAsks = typeof askStation
