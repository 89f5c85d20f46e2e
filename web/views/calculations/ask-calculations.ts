import { type CalculationRequest, calculationAnswer, calculationsAnswer } from '../../../protocols/live/calculations.ts'
import { ask, askByPost } from '../../answers.ts'

export const askCalculations = () => ask(calculationsAnswer, 'api/calculations')
export const askResult = (name: string, request: CalculationRequest) =>
  askByPost(calculationAnswer, `api/calculations/${encodeURIComponent(name)}`, request)
