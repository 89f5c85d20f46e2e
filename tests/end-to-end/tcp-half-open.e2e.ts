import { execFileSync, spawn } from 'node:child_process'
import { afterEach, expect, test } from 'vitest'
import { stationClock } from '../../server/clock.ts'
import { tcp } from '../../server/sources/tcp.ts'
import { HeardSource } from '../support/heard-source.ts'

const canMakeNetworks = ((): boolean => {
  try {
    execFileSync('sh', ['-c', 'test "$(id -u)" = 0 && ip netns add flue-probe && ip netns delete flue-probe'], {
      stdio: 'ignore',
    })
    return true
  } catch {
    return false // no root, no ip, or a container that forbids it
  }
})()
const stops: (() => unknown)[] = []
afterEach(async () => {
  for (const stop of stops.splice(0).reverse()) await stop()
})
const ip = (...words: string[]): void => void execFileSync('ip', words, { stdio: 'ignore' })

/** A machine at the far end of a cable of its own: a network namespace joined by a pair of virtual interfaces. */
function farMachine(): {
  readonly address: string
  readonly inside: readonly string[]
  cable(state: 'up' | 'down'): void
} {
  const name = `flue-${process.pid}`
  const [near, far] = [`fln${process.pid}`.slice(0, 15), `flf${process.pid}`.slice(0, 15)]
  ip('netns', 'add', name)
  stops.push(() => ip('netns', 'delete', name))
  ip('link', 'add', near, 'type', 'veth', 'peer', 'name', far, 'netns', name)
  ip('address', 'add', '198.18.77.1/30', 'dev', near) // RFC 2544: for tests
  ip('link', 'set', near, 'up')
  ip('-n', name, 'address', 'add', '198.18.77.2/30', 'dev', far)
  ip('-n', name, 'link', 'set', far, 'up')
  return {
    address: '198.18.77.2',
    inside: ['netns', 'exec', name],
    cable: (state) => ip('-n', name, 'link', 'set', far, state),
  }
}

test.skipIf(!canMakeNetworks)(
  'a cable that is pulled is called silent after the limit, and the peer is found again when it is back',
  async () => {
    const machine = farMachine()
    const script = `require('net').createServer((s) => { s.on('error', () => {}); const t = setInterval(() => s.write('8.1;112\\n'), 50); s.on('close', () => clearInterval(t)) }).listen(4001, () => console.log('listening'))`
    const peer = spawn('ip', [...machine.inside, process.execPath, '-e', script], {
      stdio: ['ignore', 'pipe', 'ignore'],
    })
    stops.push(() => peer.kill())
    await new Promise((resolve) => peer.stdout.once('data', resolve))
    const heard = new HeardSource(
      tcp(
        { kind: 'tcp', host: machine.address, port: 4001, lineEnd: 'auto' },
        { name: 'main', clock: stationClock(), freshness: { expectEverySeconds: 0.1, leastMs: 2000 }, jitter: () => 0 },
      ),
    )
    stops.push(() => heard.close())
    await heard.until(() => heard.lines.length > 5, 'lines came')

    const pulled = performance.now()
    machine.cable('down')
    await heard.until(() => heard.states.includes('silent'), 'the silence was told')
    const silentAfter = performance.now() - pulled
    await heard.until(() => heard.states.includes('refused'), 'an attempt failed')
    const before = heard.lines.length
    const back = performance.now()
    machine.cable('up')
    await heard.until(() => heard.lines.length > before + 2, 'lines came again')
    console.info(
      `silent after ${Math.round(silentAfter)} ms; lines again ${Math.round(performance.now() - back)} ms after the cable was back`,
    )
    expect(silentAfter).toBeLessThan(3100)
    expect(heard.states.slice(0, 2)).toEqual(['open', 'silent'])
    expect(heard.lines[before]?.piece).toBe('first')
  },
)
