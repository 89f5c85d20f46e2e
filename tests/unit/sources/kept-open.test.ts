import { describe, expect, test } from 'vitest'
import { type ConnectionNews, keptOpen, type LinkKind } from '../../../server/sources/kept-open.ts'
import { LineSplitter } from '../../../server/sources/line-splitter.ts'
import { serialRetry } from '../../../server/sources/retry.ts'
import { HeardSource } from '../../support/heard-source.ts'
import { heldBytes } from '../../support/held-bytes.ts'
import { TurnedClock } from '../../support/turned-clock.ts'

/** A link that does what the test says; each connection that was made is kept. */
function staged(onConnect: (news: ConnectionNews, number: number) => void, more: Partial<LinkKind> = {}) {
  const clock = new TurnedClock()
  const made: { news: ConnectionNews; sent: string[]; closed: boolean; at: number }[] = []
  const kind: LinkKind = {
    name: 'main',
    retry: serialRetry,
    connect(news) {
      const one = { news, sent: [] as string[], closed: false, at: clock.monotonic }
      made.push(one)
      onConnect(news, made.length)
      return {
        send: (text) => one.sent.push(text),
        close: async () => {
          one.closed = true
        },
      }
    },
    ...more,
  }
  const begin = clock.monotonic
  const start = (poll?: { send: string; everySeconds: number }) =>
    new HeardSource(keptOpen(kind, { clock, after: clock.after, freshness: { expectEverySeconds: 1 }, poll }))
  return { clock, made, start, attemptsAt: () => made.map((one) => Math.round((one.at - begin) / 100) / 10) }
}
const opened = (news: ConnectionNews): void => news.opened('open', new LineSplitter('auto', { first: true }))
const text = (news: ConnectionNews | undefined, bytes: string): void => news?.bytes(Buffer.from(bytes))

test('nothing is told inside open itself', () => {
  expect(staged(opened).start().events).toEqual([])
})

test('a port that stays away is tried after 1, 2, 4, 5, 5 … seconds, for ever', async () => {
  const { clock, start, attemptsAt } = staged((news) => news.refused('not there'))
  start()
  await clock.pass(24_000)
  expect(attemptsAt()).toEqual([0, 1, 3, 7, 12, 17, 22])
})

test('a night of failing attempts is told in doubling steps, not each one', async () => {
  const { clock, made, start } = staged((news) => news.refused('not there'))
  const heard = start()
  await clock.pass(10 * 3_600_000)
  expect(made.length).toBeGreaterThan(7000)
  expect(heard.links.map((link) => link.attempt)).toEqual([1, 2, 4, 8, 16, 32, 64, 128, 256, 512, 1024, 2048, 4096])
})

test('a new reason for failing is told at once', async () => {
  const { clock, start } = staged((news, number) => news.refused(number < 6 ? 'not there' : 'no permission'))
  const heard = start()
  await clock.pass(30_000)
  expect(heard.links.map((link) => `${link.attempt} ${link.detail}`)).toEqual([
    '1 not there',
    '2 not there',
    '4 not there',
    '6 no permission',
    '8 no permission',
  ])
})

describe('silence', () => {
  test('an open port without lines is closed and opened again after ten seconds, however sound it looks', async () => {
    const { clock, made, start, attemptsAt } = staged(opened)
    const heard = start()
    await clock.pass(11_000)
    expect(heard.states).toEqual(['open', 'silent', 'open'])
    expect(heard.links[1]?.detail).toMatch(/nothing came for 10 s/)
    expect(attemptsAt()).toEqual([0, 11])
    expect(made[0]?.closed).toBe(true)
  })

  test('a line every nine seconds keeps it open', async () => {
    const { clock, made, start } = staged(opened)
    const heard = start()
    for (let line = 0; line < 20; line++) {
      await clock.pass(9000)
      text(made[0]?.news, `${line}\n`)
    }
    expect(heard.states).toEqual(['open'])
  })

  test('bytes that never become a line are silence, and the text says what to check', async () => {
    const { clock, made, start } = staged(opened)
    const heard = start()
    for (let second = 0; second < 12; second++) {
      text(made[0]?.news, '8.1;112\r')
      await clock.pass(1000)
    }
    expect(heard.links.find((link) => link.state === 'silent')?.detail).toMatch(
      /no line for 10 s; they hold CR: .* set lineEnd to "cr"/,
    )
  })

  test('noise of a wrong baud rate is named as such', async () => {
    const { clock, made, start } = staged(opened)
    const heard = start()
    await clock.pass(100)
    text(made[0]?.news, '\xf8\x00\x80\xfe\x8c')
    await clock.pass(12_000)
    expect(heard.links.find((link) => link.state === 'silent')?.detail).toMatch(/check baudRate/)
  })

  test('a night of a dumb instrument is told in doubling steps too', async () => {
    const { clock, start } = staged(opened)
    const heard = start()
    await clock.pass(3_600_000)
    expect(heard.states.filter((state) => state === 'silent').length).toBeLessThan(10)
    expect(heard.states.at(-1)).toBe('silent')
  })

  test('the first line after an attempt that was not told tells that the link is open', async () => {
    const { clock, made, start } = staged((news, number) => (number === 3 ? opened(news) : news.refused('not there')))
    const heard = start()
    await clock.pass(4000)
    expect(heard.states).toEqual(['refused', 'refused'])
    text(made[2]?.news, '8.1\n')
    expect(heard.events.slice(-2).map((event) => event.kind)).toEqual(['link', 'line'])
    expect(heard.states.at(-1)).toBe('open')
  })

  test('at a night at speed the limit shrinks with the interval, to two real seconds', async () => {
    const { clock, start, attemptsAt } = staged(opened)
    clock.stationSpeed = 60
    start()
    await clock.pass(3500)
    expect(attemptsAt()).toEqual([0, 3]) // 2 s of silence, 1 s of waiting
  })

  test('a process that was held up for a minute looks once more before it calls a link silent', async () => {
    const { clock, made, start } = staged(opened)
    const heard = start()
    await clock.pass(500)
    clock.monotonic += 60_000
    clock.wall += 60_000
    await clock.pass(1)
    text(made[0]?.news, 'waited in the system\n')
    await clock.pass(2000)
    expect(heard.states).toEqual(['open'])
  })
})

describe('loss', () => {
  test('half a line at the loss is kept as unended and never joined with what comes next', async () => {
    const { clock, made, start } = staged(opened)
    const heard = start()
    await clock.pass(6000)
    text(made[0]?.news, '1;2\n12.5;99')
    made[0]?.news.lost('unplugged')
    await clock.pass(1000)
    text(made[1]?.news, '7;8;9\n10\n')
    expect(
      heard.events.map((event) => (event.kind === 'link' ? event.state : `${event.piece}:${Buffer.from(event.bytes)}`)),
    ).toEqual(['open', 'first:1;2\n', 'unended:12.5;99', 'lost', 'open', 'first:7;8;9\n', 'whole:10\n'])
  })

  test('what an old connection still says is not listened to', async () => {
    const { clock, made, start } = staged(opened)
    const heard = start()
    await clock.pass(1)
    made[0]?.news.lost('unplugged')
    text(made[0]?.news, 'late\n')
    made[0]?.news.lost('again')
    await clock.pass(1000)
    expect(heard.lines).toEqual([])
    expect(heard.states).toEqual(['open', 'lost', 'open'])
  })

  test('after a link that worked the first attempt follows within a second', async () => {
    const { clock, made, start, attemptsAt } = staged(opened)
    start()
    for (let second = 0; second < 8; second++) {
      await clock.pass(1000)
      text(made[0]?.news, '1\n')
    }
    made[0]?.news.lost('unplugged')
    await clock.pass(1500)
    expect(attemptsAt()).toEqual([0, 9])
  })

  test('a peer that says a word and goes is tried ever more rarely', async () => {
    const { clock, made, start } = staged((news) => {
      opened(news)
      text(news, 'welcome\n')
      news.lost('gone')
    })
    start()
    await clock.pass(60_000)
    expect(made.length).toBeLessThan(16)
  })

  test('a port that is plugged in again is tried within half a second', async () => {
    let isThere = false
    const { clock, start, attemptsAt } = staged((news) => (isThere ? opened(news) : news.refused('not there')), {
      isThere: () => isThere,
    })
    const heard = start()
    await clock.pass(23_000) // attempts at 0, 1, 3, 7, 12, 17, 22
    isThere = true
    await clock.pass(600)
    expect(attemptsAt().at(-1)).toBeLessThanOrEqual(23.5)
    expect(heard.states.at(-1)).toBe('open')
  })
})

describe('closing', () => {
  test('gives what has no end yet, closes the connection and leaves no timer', async () => {
    const { clock, made, start } = staged(opened)
    const heard = start({ send: '?', everySeconds: 5 })
    await clock.pass(10)
    text(made[0]?.news, 'half')
    await heard.close()
    expect(heard.pieces).toEqual(['unended:half'])
    expect(made[0]?.closed).toBe(true)
    expect(clock.waiting).toBe(0)
  })

  test('while waiting for the next attempt ends the waiting', async () => {
    const { clock, made, start } = staged((news) => news.refused('not there'))
    const heard = start()
    await clock.pass(10)
    await heard.close()
    await clock.pass(60_000)
    expect(made.length).toBe(1)
    expect(clock.waiting).toBe(0)
  })
})

describe('polling', () => {
  test('asks at once and at each interval, and begins anew with each connection', async () => {
    const { clock, made, start } = staged(opened)
    start({ send: 'MEAS?\r', everySeconds: 4 })
    await clock.pass(9000)
    made[0]?.news.lost('unplugged')
    await clock.pass(1000)
    expect(made.map((one) => one.sent)).toEqual([['MEAS?\r', 'MEAS?\r', 'MEAS?\r'], ['MEAS?\r']])
  })

  test('asks in station time', async () => {
    const { clock, made, start } = staged(opened)
    clock.stationSpeed = 10
    start({ send: '?', everySeconds: 5 })
    await clock.pass(1600)
    expect(made[0]?.sent.length).toBe(4)
  })

  test('a text that the operator sends goes nowhere while the link is down', async () => {
    const { clock, made, start } = staged((news) => news.refused('not there'))
    const heard = start()
    await clock.pass(10)
    heard.source.send('?')
    expect(made[0]?.sent).toEqual([])
  })
})

test('a line does not hold the chunk in memory that it came in', async () => {
  const { clock, made, start } = staged(opened)
  const heard = start()
  await clock.pass(1)
  made[0]?.news.bytes(Buffer.concat([Buffer.from('8.1\n'), Buffer.alloc(60_000)]))
  expect(heard.lines[0]?.bytes.buffer.byteLength).toBe(4)
})

test('100 MB without a line end come in pieces and are not gathered', async () => {
  const { clock, made, start } = staged(opened)
  let count = 0
  let bytes = 0
  const heard = start()
  await clock.pass(1)
  heard.events.push = () => 0
  heard.lines.push = (line) => {
    count++
    bytes += line?.bytes.length ?? 0
    return 0
  }
  const chunk = Buffer.alloc(1_000_000, 'x')
  const before = await heldBytes()
  for (let megabyte = 0; megabyte < 100; megabyte++) made[0]?.news.bytes(chunk)
  const grown = (await heldBytes(before + 1_000_000)) - before
  expect(bytes).toBeGreaterThan(100_000_000 - 4096)
  expect(count).toBe(Math.floor(100_000_000 / 4096))
  expect(grown).toBeLessThan(1_000_000)
})
