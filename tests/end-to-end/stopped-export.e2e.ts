import { mkdirSync, readdirSync, watch } from 'node:fs'
import { join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import { aFolder } from '../support/a-recording.ts'
import { endAll, Running, until } from '../support/built-command.ts'
import { demoRecording } from '../support/demo-recording.ts'

const night = await demoRecording()
afterAll(async () => {
  await endAll()
  night.remove()
})

test.each(['export', 'replay'])(
  'what is stopped while it writes leaves whole files and no others: %s',
  async (verb) => {
    const out = join(aFolder(), 'exported')
    mkdirSync(out)
    const watched = watch(out)
    let isWriting = false
    watched.on('change', (_, name) => {
      isWriting ||= /^\.readings\.csv\..*part$/.test(String(name))
    })
    const stopped = new Running(verb, night.recording, '--format', 'csv,json', '--out', out)
    await until('readings are being written', () => isWriting)
    const { status } = await stopped.stop('SIGINT')
    watched.close()

    expect({ status, told: stopped.err }).toEqual({
      status: 130,
      told: expect.stringMatching(/readings\.csv: stopped/),
    })
    expect(readdirSync(out).toSorted()).toEqual(['blocks.csv', 'rolling.csv', 'verdicts.csv'])
  },
)
