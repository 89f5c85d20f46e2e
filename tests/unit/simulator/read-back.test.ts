import { expect, test } from 'vitest'
import { compileProfile } from '../../../protocols/instrument/compile-profile.ts'
import { lineProfile } from '../../../protocols/instrument/profile.ts'
import { simulateNight } from '../../../simulator/night.ts'
import { readScenario, scenarioNames } from '../../../simulator/scenario.ts'

// Writer and reader were written apart from each other's code; here they meet.

test.each(scenarioNames)('%s: the station reads every sound line and refuses every damaged one', (name) => {
  const scenario = readScenario(name)
  const reader = compileProfile(lineProfile.parse(scenario.instrument.profile), { stationZone: 'UTC' })
  const wrong: string[] = []
  const read = { sound: 0, damaged: 0 }
  let startOfLine = ''
  for (const line of simulateNight(scenario, 1)) {
    if (!line.bytes.includes(10)) {
      startOfLine = line.bytes.toString('latin1') // it lost its end: what follows hangs on it
      continue
    }
    const bytes = Buffer.from(startOfLine + line.bytes.toString('latin1'), 'latin1')
    startOfLine = ''
    const outcome = reader.read(bytes, line.atMs, bytes.length > 4096 ? 'continued' : 'whole')
    const isSound = line.damage === null && (line.kind === 'reading' || line.kind === 'repeat')
    read[isSound ? 'sound' : 'damaged']++
    if (outcome.ok !== isSound) wrong.push(`${line.kind} ${line.damage}: ${bytes.toString('latin1')}`)
  }
  expect(wrong).toEqual([])
  expect(read.sound).toBeGreaterThan(1700)
  expect(read.damaged).toBeGreaterThan(0)
})

test('a reading read back is the number that was written, with its time, phase and fault', () => {
  const scenario = readScenario('half-hour')
  const reader = compileProfile(lineProfile.parse(scenario.instrument.profile), { stationZone: 'UTC' })
  const full = [...simulateNight(scenario, 1)].find((line) => line.truth.faults.includes('condensate'))!
  const outcome = reader.read(full.bytes, full.atMs, 'whole')
  const written = JSON.parse(full.bytes.toString())
  expect(outcome).toEqual({ ok: true })
  expect(reader.content.lineTimeMs).toBe(full.atMs)
  expect([...reader.content.values.slice(0, 5)]).toEqual([
    written.gas.o2,
    written.gas.co,
    written.gas.no,
    written.gas.no2,
    written.gas.so2,
  ])
  expect(reader.content.status).toContainEqual(expect.objectContaining({ phase: 'measure' }))
  expect(reader.content.status).toContainEqual(expect.objectContaining({ fault: 'condensate' }))
})
