import { type CalculationRequest, calculationAnswer, calculationsAnswer } from '../../../protocols/live/calculations.ts'
import { ask } from '../../answers.ts'

export const askCalculations = () => ask(calculationsAnswer, 'api/calculations')
export const askResult = (name: string, request: CalculationRequest) =>
  ask(calculationAnswer, `api/calculations/${encodeURIComponent(name)}`, {
    method: 'POST',
    body: JSON.stringify(request),
    headers: { 'content-type': 'application/json' },
  })
