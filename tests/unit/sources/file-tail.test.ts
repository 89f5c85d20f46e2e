import { execFileSync } from 'node:child_process'
import {
  appendFileSync,
  chmodSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  renameSync,
  rmSync,
  symlinkSync,
  truncateSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { type FileTailOptions, fileTail } from '../../../server/sources/file-tail.ts'
import { fastTime } from '../../support/fast-time.ts'
import { HeardSource } from '../../support/heard-source.ts'

let folder: string
let path: string
const open: HeardSource[] = []
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'tail-'))
  path = join(folder, 'analyser.log')
})
afterEach(async () => {
  for (const heard of open.splice(0)) await heard.close()
  rmSync(folder, { recursive: true })
})

function follow(from: 'start' | 'end' = 'start', more: Partial<FileTailOptions> = {}): HeardSource {
  const options = { name: 'main', ...fastTime(10), freshness: { expectEverySeconds: 60 }, ...more }
  const heard = new HeardSource(fileTail({ kind: 'file', path, from, lineEnd: 'auto' }, options))
  open.push(heard)
  return heard
}
const lines = (heard: HeardSource, count: number): Promise<void> =>
  heard.until(() => heard.lines.length >= count, `${count} lines came`)
const told = (heard: HeardSource, text: RegExp): Promise<void> =>
  heard.until(() => heard.links.some((link) => text.test(link.detail)), `${text} was told`)

test('from its start every line counts, the first included', async () => {
  writeFileSync(path, '1\n2\n')
  const heard = follow()
  await lines(heard, 2)
  appendFileSync(path, '3\n')
  await lines(heard, 3)
  expect(heard.pieces).toEqual(['whole:1\n', 'whole:2\n', 'whole:3\n'])
  expect(heard.states).toEqual(['open'])
})

test('from its end only what is added counts', async () => {
  writeFileSync(path, '1\n2\n')
  const heard = follow('end')
  await told(heard, /followed from byte 4/)
  appendFileSync(path, '3\n')
  await lines(heard, 1)
  expect(heard.pieces).toEqual(['whole:3\n'])
})

test('from its end, joined in the middle of a line, the rest of that line is marked', async () => {
  writeFileSync(path, '1\n2;')
  const heard = follow('end')
  await told(heard, /followed from/)
  appendFileSync(path, '5\n3\n')
  await lines(heard, 2)
  expect(heard.pieces).toEqual(['first:5\n', 'whole:3\n'])
})

test('a last line waits for its end and is never given half', async () => {
  writeFileSync(path, '1\n12.')
  const heard = follow()
  await lines(heard, 1)
  appendFileSync(path, '5;99\n')
  await lines(heard, 2)
  expect(heard.pieces).toEqual(['whole:1\n', 'whole:12.5;99\n'])
})

test('a last line without an end is given as unended when the source is closed', async () => {
  writeFileSync(path, '1\n12.')
  const heard = follow()
  await lines(heard, 1)
  await heard.close()
  expect(heard.pieces).toEqual(['whole:1\n', 'unended:12.'])
})

test('without any notice of changes growth is found within a second by looking', async () => {
  writeFileSync(path, '1\n')
  const heard = follow('start', { watch: false, ...fastTime(1) })
  await lines(heard, 1)
  const begin = performance.now()
  appendFileSync(path, '2\n')
  await lines(heard, 2)
  expect(performance.now() - begin).toBeLessThan(1000)
})

describe('a replaced file', () => {
  test('is read to its end before the new one, nothing lost and nothing twice', async () => {
    writeFileSync(path, '1\n')
    const heard = follow()
    await lines(heard, 1)
    appendFileSync(path, '2\n')
    renameSync(path, `${path}.1`)
    writeFileSync(path, '10\n')
    appendFileSync(`${path}.1`, '3\n') // the writer has not moved on yet
    appendFileSync(path, '11\n')
    await lines(heard, 5)
    expect(heard.pieces).toEqual(['whole:1\n', 'whole:2\n', 'whole:3\n', 'whole:10\n', 'whole:11\n'])
    expect(heard.states).toEqual(['open', 'lost', 'open'])
    expect(heard.links[1]?.detail).toMatch(/replaced by a new file; the old one was read to its end/)
  })

  test('that its writer still fills after the new one is there is read on until it rests', async () => {
    writeFileSync(path, '1\n')
    const time = fastTime(10)
    let looks = Number.NaN
    const heard = follow('start', {
      watch: false,
      ...time,
      after(ms, run) {
        // The look that was under way ends first; the next one finds the new file; then the old one grows.
        if (++looks === 2) appendFileSync(`${path}.1`, '2\n')
        return time.after(ms, run)
      },
    })
    await lines(heard, 1)
    renameSync(path, `${path}.1`)
    writeFileSync(path, '10\n')
    looks = 0
    await lines(heard, 3)
    expect(heard.pieces).toEqual(['whole:1\n', 'whole:2\n', 'whole:10\n'])
  })

  test('that ended in half a line does not join it to the new one', async () => {
    writeFileSync(path, '1\n2;9')
    const heard = follow()
    await lines(heard, 1)
    renameSync(path, `${path}.1`)
    writeFileSync(path, '9\n')
    await lines(heard, 3)
    expect(heard.pieces).toEqual(['whole:1\n', 'unended:2;9', 'whole:9\n'])
  })

  test('is noticed although the new one is as long and was moved over it', async () => {
    writeFileSync(path, '1\n2\n')
    const heard = follow()
    await lines(heard, 2)
    writeFileSync(`${path}.new`, '5\n6\n')
    renameSync(`${path}.new`, path)
    await lines(heard, 4)
    expect(heard.pieces.slice(2)).toEqual(['whole:5\n', 'whole:6\n'])
  })

  test('keeps nothing from a number of the file system that is used again', async () => {
    writeFileSync(path, '1\n')
    const heard = follow()
    await lines(heard, 1)
    for (let turn = 2; turn <= 4; turn++) {
      rmSync(path)
      writeFileSync(path, `${turn}\n`)
      await lines(heard, turn)
    }
    expect(heard.pieces).toEqual(['whole:1\n', 'whole:2\n', 'whole:3\n', 'whole:4\n'])
  })
})

describe('a file that is cut', () => {
  test('is read from its start again, and that is told', async () => {
    writeFileSync(path, '100\n200\n')
    const heard = follow()
    await lines(heard, 2)
    truncateSync(path, 0)
    await told(heard, /was cut to 0 bytes after byte 8/)
    appendFileSync(path, '3\n')
    await lines(heard, 3)
    expect(heard.pieces.at(-1)).toBe('whole:3\n')
    expect(heard.states).toEqual(['open', 'lost', 'open'])
  })

  test('and has grown past the old place before anyone looked is known by its content', async () => {
    writeFileSync(path, '100\n200\n')
    const heard = follow('start', { watch: false })
    await lines(heard, 2)
    writeFileSync(path, '7\n8\n9\n10\n11\n12\n') // same file, cut and written longer than before
    await lines(heard, 8)
    expect(heard.pieces.slice(2)).toEqual([
      'whole:7\n',
      'whole:8\n',
      'whole:9\n',
      'whole:10\n',
      'whole:11\n',
      'whole:12\n',
    ])
    expect(heard.links[1]?.detail).toMatch(/was written anew/)
  })

  test('and grown, with the same long heading, is known by the bytes before the old place', async () => {
    const heading = `# ${'x'.repeat(2000)}\n`
    writeFileSync(path, `${heading}100\n200\n`)
    const heard = follow('start', { watch: false })
    await lines(heard, 3)
    writeFileSync(path, `${heading}7\n8\n9\n10\n11\n12\n`)
    await lines(heard, 10)
    expect(heard.pieces.slice(4).join('')).toBe('whole:7\nwhole:8\nwhole:9\nwhole:10\nwhole:11\nwhole:12\n')
  })

  test('and grown, with the same lines before the old place, is known by its heading', async () => {
    writeFileSync(path, `# night 1\n${'0;0\n'.repeat(100)}`)
    const heard = follow('start', { watch: false })
    await lines(heard, 101)
    writeFileSync(path, `# night 2\n${'0;0\n'.repeat(150)}`)
    await lines(heard, 101 + 151)
    expect(heard.pieces[101]).toBe('whole:# night 2\n')
  })

  test('in the middle of a line gives no line made of the rest', async () => {
    writeFileSync(path, '20,8;1\n2')
    const heard = follow()
    await lines(heard, 1)
    truncateSync(path, 0)
    await told(heard, /was cut to 0 bytes/)
    appendFileSync(path, '0,9;7777\n20,7;2\n')
    await lines(heard, 4)
    expect(heard.pieces).toEqual(['whole:20,8;1\n', 'unended:2', 'first:0,9;7777\n', 'whole:20,7;2\n'])
  })

  test('after being copied goes on with the next line', async () => {
    writeFileSync(path, '1\n2\n')
    const heard = follow()
    await lines(heard, 2)
    execFileSync('cp', [path, `${path}.1`])
    truncateSync(path, 0)
    appendFileSync(path, '3\n')
    await lines(heard, 3)
    expect(heard.pieces).toEqual(['whole:1\n', 'whole:2\n', 'whole:3\n'])
    expect(readFileSync(`${path}.1`, 'utf8')).toBe('1\n2\n')
  })
})

describe('a file that is not there', () => {
  test('is waited for, and read from its start when it comes, whatever the settings say', async () => {
    const heard = follow('end')
    await told(heard, /is not there; waiting for it/)
    writeFileSync(path, '1\n2\n')
    await lines(heard, 2)
    expect(heard.pieces).toEqual(['whole:1\n', 'whole:2\n'])
    expect(heard.states).toEqual(['refused', 'open'])
  })

  test('in a folder that is not there is waited for too', async () => {
    path = join(folder, 'later', 'analyser.log')
    const heard = follow()
    await told(heard, /is not there/)
    mkdirSync(join(folder, 'later'))
    writeFileSync(path, '1\n')
    await lines(heard, 1)
    expect(heard.pieces).toEqual(['whole:1\n'])
  })

  test('any more is told, and a new one is found', async () => {
    writeFileSync(path, '1\n')
    const heard = follow()
    await lines(heard, 1)
    rmSync(path)
    await told(heard, /was removed or renamed/)
    writeFileSync(path, '2\n')
    await lines(heard, 2)
    expect(heard.states).toEqual(['open', 'lost', 'open'])
  })

  test('because it became a folder gives the reason, and comes back', async () => {
    writeFileSync(path, '1\n')
    const heard = follow()
    await lines(heard, 1)
    rmSync(path)
    mkdirSync(path)
    await told(heard, /is a folder, not a file/)
    rmSync(path, { recursive: true })
    writeFileSync(path, '2\n')
    await lines(heard, 2)
    expect(heard.pieces).toEqual(['whole:1\n', 'whole:2\n'])
  })

  test('but a pipe of that name is refused without hanging', async () => {
    execFileSync('mkfifo', [path])
    const heard = follow()
    await told(heard, /is not an ordinary file/)
    await heard.close()
    expect(heard.states).toEqual(['refused'])
  })

  test('in its allowed folder but a link out of it is refused', async () => {
    mkdirSync(join(folder, 'in'))
    writeFileSync(join(folder, 'secret'), 'secret\n')
    path = join(folder, 'in', 'analyser.log')
    symlinkSync(join(folder, 'secret'), path)
    const heard = follow('start', { within: join(folder, 'in') })
    await told(heard, /leads to .*secret, outside of/)
    expect(heard.lines).toEqual([])
  })
})

test.skipIf(process.getuid?.() === 0)('a file that may not be read gives the reason', async () => {
  writeFileSync(path, '1\n')
  chmodSync(path, 0)
  await told(follow(), /no permission to read/)
})

test('a file that stops growing is called silent, and open with its next line', async () => {
  writeFileSync(path, '1\n')
  const heard = follow('start', { freshness: { expectEverySeconds: 0.01, leastMs: 700 } })
  await told(heard, /has not grown by a line/)
  appendFileSync(path, '2\n')
  await lines(heard, 2)
  expect(
    heard.events.map((event) => (event.kind === 'link' ? event.state : Buffer.from(event.bytes).toString())),
  ).toEqual(['open', '1\n', 'silent', 'open', '2\n'])
})

test('a file of 20 MB is read at the pace of who stores its lines', async () => {
  const line = '21:04:00;8.1;112;35.5;20.9;1013;180.2;35.1;0.9;OK\n'
  const count = 400_000
  writeFileSync(path, line.repeat(count))
  let held = 0
  let most = 0
  let waiting = 0
  const heard = follow('start', {
    hold: async () => {
      held++
      most = Math.max(most, heard.lines.length - waiting)
      waiting = heard.lines.length
    },
  })
  await lines(heard, count)
  expect(heard.bytes.length).toBe(line.length * count)
  expect(held).toBeGreaterThan(300)
  expect(most).toBeLessThan(1400) // 64 KiB of such lines
})
