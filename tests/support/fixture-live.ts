import { createServer } from 'node:http'
import type { AddressInfo, Socket } from 'node:net'
import { fileURLToPath } from 'node:url'
import { WebSocketServer } from 'ws'
import type { AlarmStanding, LogbookEntry } from '../../protocols/live/messages.ts'
import type { ActionRequest, RunRequest } from '../../protocols/live/requests.ts'
import type { AlarmInput } from '../../protocols/words/alarms.ts'
import { actOn } from './fixture-live/actions.ts'
import { logbookUpTo } from './fixture-live/happenings.ts'
import { fixtureApp } from './fixture-live/routes.ts'
import type { Manual } from './fixture-live/snapshot.ts'
import { streamAt } from './fixture-live/snapshot.ts'
import { type Increment, Viewer } from './fixture-live/viewer.ts'

/** An invented station for browser tests and for work on the screens: pages from `web`, the live line, the answers. */
export interface FixtureSettings {
  port?: number
  web?: string
  startAtMs?: number
  speed?: number
}
const usualStart = Date.parse('2026-11-25T03:17:40Z')

export async function fixtureStation({
  port = 0,
  web = fileURLToPath(new URL('../../dist/web', import.meta.url)),
  startAtMs = usualStart,
  speed = 1,
}: FixtureSettings = {}) {
  const began = performance.now()
  const now = () => startAtMs + (performance.now() - began) * speed
  const manual: Manual = { alarms: [], logbook: logbookUpTo(now()), runState: 'running', silentSinceMs: null }
  const viewers = new Set<Viewer>()
  const asked: (ActionRequest | RunRequest)[] = []
  const live = () => [...viewers].filter((viewer) => viewer.replay === null)
  const tellAll = (increment: Increment) => {
    for (const viewer of live()) viewer.send(increment)
  }

  function log(entry: Omit<LogbookEntry, 'id' | 'stream'>) {
    const whole = { id: `m${manual.logbook.length}`, stream: null, ...entry }
    manual.logbook.push(whole)
    tellAll({ type: 'logbook', entry: whole })
  }
  /** Puts an alarm in its new state, beside the others, and tells the pages. */
  function setAlarm(standing: AlarmStanding, input: AlarmInput = 'enter') {
    const before = manual.alarms.find((found) => found.alarm === standing.alarm)?.state ?? 'normal'
    manual.alarms = [
      ...manual.alarms.filter((found) => found.alarm !== standing.alarm),
      ...(standing.state === 'normal' ? [] : [standing]),
    ]
    const { raisedMs: _raised, sinceMs, count: _count, state, ...transition } = standing
    tellAll({
      type: 'alarm',
      standing: manual.alarms,
      transition: { ...transition, atMs: sinceMs, from: before, to: state, input },
    })
  }
  const act = (request: ActionRequest) => {
    asked.push(request)
    return actOn(request, { now, log, setAlarm, alarms: () => manual.alarms })
  }
  function run(request: RunRequest) {
    asked.push(request)
    manual.runState = request.do === 'end' ? 'ended' : request.do === 'start' && request.at ? 'planned' : 'running'
    return { ok: true, errors: [] }
  }

  const removals: { id: string; by: string }[] = []
  const server = createServer(fixtureApp(web, { now, act, run, logbook: () => manual.logbook, removals }))
  const sockets = new Set<Socket>()
  server.on('connection', (socket) => {
    sockets.add(socket)
    socket.on('close', () => sockets.delete(socket))
  })
  const hub = new WebSocketServer({ noServer: true, maxPayload: 65_536 })
  let refusing = false
  server.on('upgrade', (request, socket, head) => {
    const url = new URL(request.url ?? '/', 'http://x')
    if (refusing || url.pathname !== '/api/live') return socket.destroy()
    hub.handleUpgrade(request, socket, head, (line) => {
      const viewer = new Viewer(line, url.searchParams.get('replay'), now, manual, speed)
      viewers.add(viewer)
      line.on('close', () => viewers.delete(viewer))
    })
  })
  const ticking = setInterval(() => {
    for (const viewer of viewers) viewer.tick()
  }, 1000)
  await new Promise<void>((resolve) => server.listen(port, '127.0.0.1', resolve))

  return {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}/`,
    now,
    asked,
    setAlarm,
    log,
    removals,
    tellAll,
    alarms: () => [...manual.alarms],
    viewers: () => [...viewers],
    /** The instrument falls silent, or speaks again. */
    silence(on: boolean) {
      manual.silentSinceMs = on ? now() : null
      tellAll({ type: 'stream', stream: streamAt(now(), manual) })
    },
    /** The line stays open but nothing comes any more. */
    freeze(on: boolean) {
      for (const viewer of viewers) viewer.frozen = on
    },
    /** Cuts every page off; with `refuse` none gets back until it is called again. */
    cut(refuse: boolean) {
      refusing = refuse
      for (const viewer of viewers) viewer.socket.terminate()
    },
    async close() {
      clearInterval(ticking)
      for (const viewer of viewers) viewer.socket.terminate()
      for (const socket of sockets) socket.destroy()
      await new Promise((resolve) => server.close(resolve))
    },
  }
}
export type FixtureStation = Awaited<ReturnType<typeof fixtureStation>>
