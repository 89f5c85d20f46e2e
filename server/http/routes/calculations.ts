import { calculationAnswer, calculationRequest, calculationsAnswer } from '../../../protocols/live/calculations.ts'
import { calculationNamed, calculationNames } from '../../engine/calculations/catalogue.ts'
import { describedCatalogue } from '../../engine/calculations/described.ts'
import { evaluate } from '../../engine/calculations/evaluate.ts'
import { didYouMean } from '../../engine/settings/nearest.ts'
import { refuse } from '../refusal.ts'
import { type Route, route } from '../route.ts'

export const calculationRoutes = (): Route[] => [
  route({
    method: 'get',
    path: '/api/calculations',
    summary: 'The published calculations: inputs with units and ranges, formula, source, worked example.',
    answers: { 200: { description: 'All of them, by family.', schema: calculationsAnswer } },
    handle({ response }) {
      response.json({ calculations: describedCatalogue() })
    },
  }),
  route({
    method: 'post',
    path: '/api/calculations/:name',
    summary: 'Works one calculation. Changes nothing.',
    body: calculationRequest,
    answers: { 200: { description: 'The result and its inputs as they went in.', schema: calculationAnswer } },
    handle({ name, body, response }) {
      const calculation = calculationNamed(name)
      if (calculation === null) {
        const asked = name.slice(0, 60)
        const errors = [`there is no calculation ${JSON.stringify(asked)}${didYouMean(asked, calculationNames)}`]
        return refuse(response, { status: 404, errors })
      }
      const texts = Object.entries(body.inputs).map(([key, value]) => [key, String(value)] as const)
      const evaluation = evaluate(calculation, Object.fromEntries(texts), body.unit)
      if (evaluation.ok) response.json(evaluation)
      else refuse(response, { status: 400, errors: evaluation.faults })
    },
  }),
]
