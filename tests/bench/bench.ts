import { cpus, loadavg } from 'node:os'
import { digitsOnly, splitAndConvert } from './baselines.ts'
import { benchStation } from './bench-station.ts'
import { compiledParts } from './compiled.ts'
import { delays } from './delay.ts'
import { firstPaints } from './first-paint.ts'
import { generalEngine } from './general-engine.ts'
import { heapOverRun } from './heap.ts'
import { type Form, longLog } from './long-log.ts'
import { processorTime } from './processor-time.ts'
import { smoothTrends } from './smooth-trends.ts'
import { medians, throughEngine } from './speed.ts'

/** Lines per pass; `npm run bench -- 100000` for a quick look. */
const wished = Number(process.argv[2] ?? 1_000_000)
const rounds = 5
const delayedLines = 300
const chartDays = 30
const processorLines = 64_000
const processorPasses = 50
const print = (line: string): void => void process.stdout.write(`${line}\n`)
const load = (): string => (loadavg()[0] as number).toFixed(2)

const parts = await compiledParts()
print(
  `Node ${process.version}, ${cpus().length} × ${cpus()[0]?.model.trim()}, load before ${load()}; median of ${rounds} rounds, the works in turn.\n`,
)

const delay = await delays(parts, delayedLines)
const delayLoad = load()
const heap = heapOverRun(parts, [1, 24, 168, 336, 504, 672])
const general = await generalEngine()

for (const form of ['kv', 'delim'] as const) await speeds(form)
processorTimes()

async function speeds(form: Form): Promise<void> {
  const log = longLog(form, wished)
  const station = benchStation(parts, form)
  const engineName = 'engine, as from a recording'
  const works: Record<string, () => unknown> = {
    [engineName]: () => throughEngine(parts, station, log, 'known'),
    'engine, as `replay LOG`': () => throughEngine(parts, station, log, 'own'),
    '(a) bare loop: split lines, convert numbers': () => splitAndConvert(log),
    '(b) byte loop: numbers only': () => digitsOnly(log),
  }
  if (typeof general !== 'string')
    for (const threads of [1, 2])
      works[`(c) DuckDB ${general.version}, plain means, ${threads} thread${threads > 1 ? 's' : ''}`] = () =>
        general.means(log, threads)
  const seconds = await medians(works, rounds)
  const ours = seconds.get(engineName) as number
  print(`### night.${form}.log, ${log.lines} lines, ${(log.bytes.length / 1e6).toFixed(1)} MB\n`)
  print('| work | seconds | lines per second | engine ÷ this |\n| --- | ---: | ---: | ---: |')
  for (const [name, taken] of seconds)
    print(`| ${name} | ${taken.toFixed(2)} | ${Math.round(log.lines / taken)} | ${(taken / ours).toFixed(2)} |`)
  if (typeof general === 'string') print(`| (c) DuckDB | could not be fetched: ${general} | | |`)
  const passed = throughEngine(parts, station, log, 'known')
  print(
    `\nThe engine gave ${passed.blocks} block rows and ${passed.rolling} rolling rows; ${passed.refused} lines took no part; first half-hour of CO as read: ${passed.firstCo} ppm.`,
  )
  if (typeof general !== 'string') {
    const { blocks, firstCo } = await general.means(log, 1)
    print(`DuckDB gave ${blocks} half-hours; the first of CO: ${firstCo} ppm (without settling: more readings count).`)
  }
  print(`Load after: ${load()}.\n`)
}

function processorTimes(): void {
  print(
    `### Processor time, ns a line: the least of ${processorPasses} passes over ${processorLines} lines\n\n| form | engine, as from a recording | engine, as \`replay LOG\` | the same from the file | (a) | engine ÷ (a) | \`replay LOG\` ÷ (a) | from the file ÷ (a) |\n| --- | ---: | ---: | ---: | ---: | ---: | ---: | ---: |`,
  )
  for (const form of ['kv', 'delim'] as const) {
    const { recording, log, file, bare } = processorTime(parts, form, processorLines, processorPasses)
    const figures = [recording, log, file, bare].map((ns) => ns.toFixed(0))
    const ratios = [recording, log, file].map((ns) => (bare / ns).toFixed(2))
    print(`| ${form} | ${[...figures, ...ratios].join(' | ')} |`)
  }
  print(`\nLoad after: ${load()}.\n`)
}
if (typeof general !== 'string') general.close()

print(
  '### Heap of one engine, a line per second\n\n| after | bytes in use | bytes per hour since the row above |\n| --- | ---: | ---: |',
)
for (const [index, { hours, bytes }] of heap.entries()) {
  const last = heap[index - 1]
  print(`| ${hours} h | ${bytes} | ${last ? Math.round((bytes - last.bytes) / (hours - last.hours)) : ''} |`)
}
print(
  '\n### From a line written to the instrument’s socket to the viewer that has read it\n\n| lines | p50 | p99 | most | load |\n| ---: | ---: | ---: | ---: | ---: |',
)
print(
  `| ${delay.lines} | ${delay.p50Ms.toFixed(2)} ms | ${delay.p99Ms.toFixed(2)} ms | ${delay.mostMs.toFixed(2)} ms | ${delayLoad} |`,
)

const paint = await firstPaints(20)
print(
  '\n### The dashboard in a browser with an empty cache\n\n| loads | first paint, median | figures stand, median | worst | load |\n| ---: | ---: | ---: | ---: | ---: |',
)
print(
  `| ${paint.loads} | ${paint.paintMs.toFixed(0)} ms | ${paint.figuresMs.toFixed(0)} ms | ${paint.worstFiguresMs.toFixed(0)} ms | ${load()} |`,
)

const smooth = await smoothTrends(chartDays)
print(
  `\n### Charts of ${smooth.days} days at a line per second (${smooth.lines} lines, ${smooth.megabytes.toFixed(0)} MB)\n\n| replay stands after | whole run drawn, least to most | longest task while a hand moves and zooms for ${smooth.handSeconds} s: by the clock, of work | tasks over 50 ms: by the clock, of work | charts | most points of one | pixels | load |\n| ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: |`,
)
print(
  `| ${(smooth.openMs / 1000).toFixed(0)} s | ${smooth.leastDrawMs.toFixed(0)} to ${smooth.mostDrawMs.toFixed(0)} ms | ${smooth.longestTaskMs.toFixed(0)} ms, ${smooth.longestWorkMs.toFixed(0)} ms | ${smooth.over50Ms.join(', ')} of ${smooth.tasks} | ${smooth.charts} | ${smooth.points} | ${smooth.pixels} | ${load()} |`,
)
