import { type CalculationRequest, calculationAnswer, calculationsAnswer } from '../../../protocols/live/calculations.ts'
import { asked } from '../../answers.ts'

export const askCalculations = () => asked(calculationsAnswer, 'api/calculations')
export const askResult = (name: string, request: CalculationRequest) =>
  asked(calculationAnswer, `api/calculations/${encodeURIComponent(name)}`, {
    method: 'POST',
    body: JSON.stringify(request),
    headers: { 'content-type': 'application/json' },
  })
