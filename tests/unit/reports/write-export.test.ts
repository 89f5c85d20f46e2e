import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout } from 'node:timers/promises'
import { strFromU8, unzipSync } from 'fflate'
import { afterAll, describe, expect, test } from 'vitest'
import type { AlarmTransition } from '../../../protocols/words/alarms.ts'
import type { ReadingOutput } from '../../../server/engine/outputs.ts'
import { GatheredAverages } from '../../../server/recording/gathered-averages.ts'
import { type ExportRequest, writeExport } from '../../../server/reports/write-export.ts'
import { aChannel, aStation } from '../../support/a-station.ts'
import { anAverage } from '../../support/an-average.ts'

const top = mkdtempSync(join(tmpdir(), 'export-'))
afterAll(() => rmSync(top, { recursive: true }))

const station = aStation([aChannel('co', { species: 'CO' }), aChannel('o2', { species: 'O2', unit: 'vol%' })], {
  conversions: { referenceOxygen: 3 },
})
let number = 0
async function exported({ blocks = [], ...more }: Partial<ExportRequest>): Promise<{
  read: (name: string) => string
  bytes: (name: string) => Uint8Array
  names: string[]
}> {
  number++
  const dir = join(top, String(number))
  const averages = new GatheredAverages()
  for (const row of blocks) averages.put('block', row)
  const names = await writeExport({
    dir,
    formats: ['csv'],
    decimal: '.',
    run: 'night 1',
    station,
    blocks: averages.blocks,
    rolling: averages.rolling,
    readings: [],
    alarms: [],
    phaseSpans: [],
    logbook: [],
    ...more,
  })
  averages.close()
  return {
    names,
    read: (name) => readFileSync(join(dir, name), 'utf8'),
    bytes: (name) => readFileSync(join(dir, name)),
  }
}
const reading = (more: Partial<ReadingOutput> = {}): ReadingOutput => ({
  kind: 'reading',
  stream: 'main',
  atMs: Date.UTC(2026, 10, 25, 21),
  sequence: 7,
  phase: 'measure',
  plant: 'running',
  asRead: [-0.5, Number.NaN],
  corrected: [-1.25, Number.NaN],
  referred: [-1.5, Number.NaN],
  flags: Uint8Array.of(0, 1),
  ...more,
})

describe('blocks.csv, on which other people’s scripts rely', () => {
  test('has these columns in this order', async () => {
    const { read } = await exported({})
    expect(read('blocks.csv')).toBe(
      'run,stream,channel,quantity,unit,basis,reference_oxygen,conditions,average,start,end,mean,minimum,maximum,standard_deviation,count,counted_seconds,coverage,valid,reasons,detection,state,uncertainty\n',
    )
    expect(read('rolling.csv')).toBe(read('blocks.csv'))
  })

  test('a row: times with offset, numbers unrounded, what is not known empty', async () => {
    const row = anAverage({
      quantity: 'mass_concentration',
      unit: 'mg/m3',
      conditions: '273.15K,101.325kPa',
      mean: 0.1 + 0.2,
      valid: false,
      reasons: ['coverage_low', 'gap'],
    })
    expect((await exported({ blocks: [row] })).read('blocks.csv').split('\n')[1]).toBe(
      'night 1,main,co,mass_concentration,mg/m3,dry,,"273.15K,101.325kPa",PT30M,2026-11-25T22:00:00+01:00,2026-11-25T22:30:00+01:00,0.30000000000000004,-0.5,97,3.5,1790,1790.5,0.9947,false,coverage_low|gap,,final,',
    )
  })

  test('an average that nothing counted in is empty, not 0', async () => {
    const row = anAverage({
      mean: null,
      minimum: null,
      maximum: null,
      standardDeviation: null,
      count: 0,
      countedMs: 0,
      coverage: null,
      valid: false,
      reasons: ['nothing_counted'],
    })
    expect((await exported({ blocks: [row] })).read('blocks.csv').split('\n')[1]).toMatch(
      /\+01:00,,,,,0,0,,false,nothing_counted,,final,$/,
    )
  })

  test('with a decimal comma the cells are parted by semicolons', async () => {
    const text = (await exported({ blocks: [anAverage()], decimal: ',' })).read('blocks.csv')
    expect(text.split('\n')[1]).toMatch(/;41,25;-0,5;97;3,5;1790;1790,5;0,9947;true;;;final;$/)
  })

  test('a row told again replaces the earlier, and the order does not hang on the order of telling', async () => {
    const early = anAverage({ startMs: anAverage().startMs - 1_800_000 })
    const oxygen = anAverage({ channel: 'o2', unit: 'vol%' })
    const first = (
      await exported({ blocks: [oxygen, anAverage({ state: 'provisional', mean: 1 }), early, anAverage()] })
    ).read('blocks.csv')
    expect(first).toBe((await exported({ blocks: [early, anAverage(), oxygen] })).read('blocks.csv'))
    expect(
      first
        .split('\n')
        .slice(1, -1)
        .map((line) => line.split(',')[2]),
    ).toEqual(['co', 'co', 'o2'])
  })
})

test('readings.csv names unit and reference of each column, and why a value does not count', async () => {
  const [heading, row] = (await exported({ readings: [reading()] })).read('readings.csv').split('\n')
  expect(heading).toBe(
    'run,stream,time,line,phase,plant,co as_read [ppm],co drift_corrected [ppm],co at_reference_oxygen [mg/m3 at 3 vol% O2],co counts,o2 as_read [vol%],o2 drift_corrected [vol%],o2 counts',
  )
  expect(row).toBe('night 1,main,2026-11-25T22:00:00+01:00,7,measure,running,-0.5,-1.25,-1.5,counts,,,missing')
})

describe('texts that begin like a formula', () => {
  const logbook = ['=1+1', '+1', '-1', '@a', 'plain', 'say "a", b\nc'].map((text, at) => ({
    atMs: at,
    kind: 'note',
    stream: null,
    text,
    by: '=cmd',
    savedMs: null,
    severity: 'plain',
  }))

  test('are defused in CSV, and only they: a negative number stays a number', async () => {
    const { read } = await exported({ logbook, blocks: [anAverage({ mean: -3.5 })] })
    expect(read('logbook.csv')).toContain(",'=1+1,'=cmd,")
    expect(read('logbook.csv')).toContain(',"say ""a"", b\nc",')
    expect(read('blocks.csv')).toContain(',-3.5,-0.5,97,')
  })

  test('stay as they are in JSON', async () => {
    const { rows } = JSON.parse((await exported({ logbook, formats: ['json'] })).read('logbook.json')) as {
      rows: { text: string }[]
    }
    expect(rows.map(({ text }) => text)).toEqual(logbook.map(({ text }) => text))
  })
})

test('JSON has the columns of the CSV, with null where there is no value', async () => {
  const { rows } = JSON.parse(
    (await exported({ blocks: [anAverage({ minimum: null })], formats: ['json'] })).read('blocks.json'),
  ) as { rows: object[] }
  expect(rows).toEqual([
    expect.objectContaining({
      run: 'night 1',
      start: '2026-11-25T22:00:00+01:00',
      mean: 41.25,
      minimum: null,
      valid: true,
      uncertainty: null,
    }),
  ])
})

test('the settings in force lie beside every export', async () => {
  const { names, read } = await exported({ formats: ['json'] })
  expect(names).toEqual([
    'blocks.json',
    'rolling.json',
    'verdicts.json',
    'readings.json',
    'alarms.json',
    'phases.json',
    'logbook.json',
    'exclusions.json',
    'checks.json',
    'settings-in-force.json',
    'settings.json',
  ])
  expect(JSON.parse(read('settings.json'))).toEqual(JSON.parse(JSON.stringify(station)))
})

test('checks.csv holds what purges gave and the checks that persons told, in order of time', async () => {
  const { read } = await exported({
    formats: ['csv'],
    zeros: [
      {
        channel: 'co',
        atMs: Date.UTC(2026, 10, 25, 21),
        mean: 0.5,
        standardDeviation: 0.25,
        count: 130,
        used: true,
        inUse: null,
        clean: true,
        middleMs: Date.UTC(2026, 10, 25, 20, 59),
      },
    ],
    checks: [
      {
        id: 'check-1-span-co',
        kind: 'span',
        channel: 'co',
        performedMs: Date.UTC(2026, 10, 25, 20),
        expected: 90,
        response: 88.6,
        direct: 89.5,
        gas: 'invented cylinder 7',
        by: 'A. Tester',
        toldMs: Date.UTC(2026, 10, 25, 22),
      },
    ],
  })
  expect(read('checks.csv').trimEnd().split(/\r?\n/)).toEqual([
    'run,what,channel,time,unit,expected,response,standard_deviation,count,direct,gas,clean,used,in_use_before,by,told,id',
    'night 1,span_check,co,2026-11-25T21:00:00+01:00,ppm,90,88.6,,,89.5,invented cylinder 7,,,,A. Tester,2026-11-25T23:00:00+01:00,check-1-span-co',
    'night 1,zero_record,co,2026-11-25T22:00:00+01:00,ppm,0,0.5,0.25,130,,,true,true,,,,',
  ])
})

describe('settings-in-force.csv', () => {
  const linesOf = async (more: Parameters<typeof aStation>[1]) => {
    const stated = aStation([aChannel('co', { species: 'CO' })], more)
    return (await exported({ station: stated })).read('settings-in-force.csv').split('\n')
  }
  test('has every setting with where it is from, and what is to be said of the method first', async () => {
    const lines = await linesOf({ conversions: { oxygenGuard: 18 } })
    expect(lines[0]).toBe('setting,value,from')
    expect(lines[1]).toMatch(/^note on the method,.*the authority/)
    expect(lines).toContain('conversions.oxygenGuard,18,station file')
    expect(lines).toContain('conversions.ambientOxygen,20.95,built in')
    expect(lines).toContain('averaging.validity.minimum,2/3,built in')
    expect(lines).toContain('results.rounding.ties,half-even,built in')
    expect(lines).toContain('channels[0].unit,ppm,station file')
  })
  test('has the newest seal before the settings, by which the recording is found to be the one that was exported', async () => {
    const head = 'c17afef932f928db5485d08f6cc94b4d83d37dda9dfbe5c6b42f745caf676e02'
    const { read, bytes } = await exported({ head, formats: ['csv', 'xlsx'] })
    expect(read('settings-in-force.csv')).toMatch(
      new RegExp(`^setting,value,from\nnote on the method,.*\n(?:.*\n)*newest seal,${head},\nformat,`),
    )
    const parts = unzipSync(bytes('blocks.xlsx'))
    expect(Object.values(parts).some((part) => strFromU8(part).includes(head))).toBe(true)
  })
  test('says what a purge proves, by where its air enters', async () => {
    const said = (rows: readonly string[]) => rows.find((row) => row.startsWith('what a purge proves'))
    expect(said(await linesOf({}))).toContain('Not stated where purge air enters')
    expect(said(await linesOf({ corrections: { purgeAir: 'analyser' } }))).toContain(
      'not the probe, not the sampling line',
    )
  })
  test('says that no verdicts are given where limits of averages are set and no rule is', async () => {
    const limits = [{ channel: 'co', of: 'block' as const, average: 'PT30M', value: 100, unit: 'ppm' as const }]
    expect((await linesOf({ limits }))[2]).toBe('note on verdicts,none are given: results.uncertainty is not set,')
    expect((await linesOf({ limits, results: { uncertainty: 'add' } }))[2]).not.toMatch(/^note/)
  })
})

describe('verdicts.csv', () => {
  const limits = [
    { id: 'co-limit', channel: 'co', of: 'block' as const, average: 'PT30M', value: 50, unit: 'ppm' as const },
  ]
  const row = async (
    results: NonNullable<Parameters<typeof aStation>[1]>['results'],
    more: Parameters<typeof anAverage>[0],
  ) => {
    const stated = aStation([aChannel('co', { species: 'CO' })], { limits, results })
    const [heading = '', line = ''] = (await exported({ station: stated, blocks: [anAverage(more)] }))
      .read('verdicts.csv')
      .split('\n')
    const cells = line.split(',')
    return Object.fromEntries(heading.split(',').map((name, place) => [name, cells[place]]))
  }
  test('gives the result rounded once, by the limit’s digits, beside the mean as it is', async () => {
    const verdicts = [{ limit: 'co-limit', verdict: 'undecided', complies: true, result: 50.5 } as const]
    expect(await row({ uncertainty: 'subtract' }, { mean: 50.5, uncertainty: 2, verdicts })).toMatchObject({
      mean: '50.5',
      result: '50',
      uncertainty: '2',
      limit: 'co-limit',
      limit_value: '50',
      uncertainty_is: 'subtract',
      verdict: 'undecided',
      complies: 'true',
    })
    expect(
      await row(
        { uncertainty: 'subtract', rounding: { ties: 'half-away', significantFigures: 2 } },
        { mean: 50.5, verdicts },
      ),
    ).toMatchObject({ result: '51' })
  })
  test('writes what is below detection as less than its limit', async () => {
    const verdicts = [{ limit: 'co-limit', verdict: 'below', complies: true, result: 2 } as const]
    expect(
      await row(
        { uncertainty: 'ignore', belowDetection: 'detection-limit', rounding: { decimals: 1 } },
        { mean: 1.4, detection: 'BDL', verdicts },
      ),
    ).toMatchObject({ mean: '1.4', result: '<2.0', detection: 'BDL' })
  })
  // A day of half-hours has their flag and is formed from the means as they are; a channel without a detection limit has none.
  test.each([null, 'BDL'] as const)(
    'writes 0, not less than 0, for a negative result (detection %s)',
    async (detection) => {
      const verdicts = [{ limit: 'co-limit', verdict: 'below', complies: true, result: 0 } as const]
      expect(
        await row(
          { uncertainty: 'ignore', negative: 'zero', belowDetection: 'detection-limit' },
          { mean: -0.4, detection, verdicts },
        ),
      ).toMatchObject({ mean: '-0.4', result: '0' })
    },
  )
  test('writes the result as a number: with the decimal mark asked for, and a negative one as it is', async () => {
    const verdicts = [{ limit: 'co-limit', verdict: 'below', complies: true, result: -1.04 } as const]
    const results = { uncertainty: 'ignore', rounding: { decimals: 1 } } as const
    const judged = aStation([aChannel('co', { species: 'CO' })], { limits, results })
    const told = { station: judged, blocks: [anAverage({ mean: -1.04, verdicts })] }
    expect((await exported(told)).read('verdicts.csv')).toContain(',-1.04,,-1.04,-1.0,')
    expect((await exported({ ...told, decimal: ',' })).read('verdicts.csv')).toContain(';-1,04;;-1,04;-1,0;')
  })
  test('has no row for an average that was compared with nothing', async () => {
    expect((await exported({ blocks: [anAverage()] })).read('verdicts.csv').split('\n')).toHaveLength(2)
  })
})

describe('the workbook', () => {
  const alarm: AlarmTransition = {
    alarm: 'limit:co',
    class: 'limit',
    cause: 'limit',
    stream: 'main',
    channel: 'co',
    priority: 'high',
    atMs: anAverage().startMs,
    from: 'raised',
    to: 'acknowledged',
    input: 'acknowledge',
    active: true,
    value: -12.5,
    limit: 10,
    unit: 'ppm',
    by: 'A. Tester',
    note: '=HYPERLINK("x")',
    untilMs: null,
  }
  const sheets = async (): Promise<Map<string, string>> => {
    const { bytes } = await exported({ formats: ['xlsx'], blocks: [anAverage()], alarms: [alarm] })
    return new Map(Object.entries(unzipSync(bytes('blocks.xlsx'))).map(([name, content]) => [name, strFromU8(content)]))
  }

  test('has a sheet for each table but the readings', async () => {
    const names = [...((await sheets()).get('xl/workbook.xml') ?? '').matchAll(/<sheet [^>]*name="([^"]+)"/g)].map(
      ([, name]) => name,
    )
    expect(names).toEqual([
      'blocks',
      'rolling',
      'verdicts',
      'alarms',
      'phases',
      'logbook',
      'exclusions',
      'checks',
      'settings',
    ])
  })

  test('holds numbers as numbers and dates by the station’s clock', async () => {
    const blocks = (await sheets()).get('xl/worksheets/sheet1.xml') ?? ''
    expect(blocks).toContain('<v>41.25</v>')
    // 2026-11-25 22:00 as days since 1899-12-30, by hand: 46351 + 22/24.
    expect(blocks).toMatch(/<v>46351\.91666+\d*<\/v>/)
  })

  test('holds no formula, whatever a note begins with', async () => {
    const parts = await sheets()
    expect([...parts.values()].join('')).not.toMatch(/<f[ >]/)
    expect([...parts.values()].join('')).toContain('=HYPERLINK(')
  })

  test('is the same to the byte when written again, also later', async () => {
    const one = await exported({ formats: ['xlsx'], blocks: [anAverage()] })
    // The archive's format tells times to two seconds.
    await setTimeout(2100)
    const two = await exported({ formats: ['xlsx'], blocks: [anAverage()] })
    expect(one.bytes('blocks.xlsx')).toEqual(two.bytes('blocks.xlsx'))
  })
})

test('nothing is left beside the files', async () => {
  await exported({ formats: ['csv', 'json', 'xlsx'] })
  expect(readdirSync(join(top, String(number))).filter((name) => name.endsWith('.part'))).toEqual([])
})
