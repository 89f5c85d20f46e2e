import { z } from 'zod'
import { isRecord } from './regimes.ts'
import { stationShape } from './station-shape.ts'

type Schema = Readonly<Record<string, unknown>>

/** The JSON Schema of the station file as it is written, for editors, for the docs, and for the form of the set-up. */
export const stationSchema = (): Schema => named(z.toJSONSchema(stationShape, { io: 'input' }) as Schema)

/** Units in which numbers are written, by the end of their key. */
const keyEndUnits: Readonly<Record<string, string>> = { Seconds: 's', Minutes: 'min', Percent: '%', K: 'K', kPa: 'kPa' }
/** Those that the end of the key does not tell. */
const units: Readonly<Record<string, string>> = {
  referenceOxygen: 'vol%',
  ambientOxygen: 'vol%',
  oxygenGuard: 'vol%',
  oxygenWithin: 'vol%',
  percent: 'vol%',
  moisturePlusMinus: 'vol%',
  residualWaterPercent: 'vol%',
}
/** Settings in the unit of what they belong to, which its `unit` tells. */
const inOwnUnit: readonly string[] = ['value', 'deadband', 'range', 'detectionLimit']
const keyEnd = new RegExp(`^(.*[a-z0-9])(${Object.keys(keyEndUnits).join('|')})$`)

/** `onDelaySeconds` → `On delay`. */
function keyWords(key: string): string {
  const words = (keyEnd.exec(key)?.[1] ?? key).replace(/([a-z0-9])([A-Z])/g, '$1 $2').replaceAll('-', ' ')
  return words.slice(0, 1).toUpperCase() + words.slice(1).toLowerCase()
}

/** A schema in which each setting has its name as `title`, and its unit; the title of a constant says what it does. */
function named(schema: Schema): Schema {
  return Object.fromEntries(
    Object.entries(schema).map(([keyword, value]) => [
      keyword,
      keyword === 'properties' ? settings(value) : within(value),
    ]),
  )
}
const within = (value: unknown): unknown =>
  Array.isArray(value) ? value.map(within) : isRecord(value) ? named(value) : value

const settings = (value: unknown): Schema =>
  Object.fromEntries(
    Object.entries(isRecord(value) ? value : {}).map(([key, one]) => {
      const unit = units[key] ?? keyEndUnits[keyEnd.exec(key)?.[2] ?? '']
      const told = inOwnUnit.includes(key) ? { unitOf: 'unit' } : unit ? { unit } : {}
      return [key, { title: keyWords(key), ...told, ...named(isRecord(one) ? one : {}) }]
    }),
  )
