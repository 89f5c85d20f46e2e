import { expect, test } from 'vitest'
import { openMetricsText } from '../../../server/http/open-metrics.ts'
import { httpStation } from '../../support/http-station.ts'

// Source: OpenMetrics 1.0.0 (text format: families in one piece, TYPE and HELP before samples, `_total` on counters,
// \\ \" \n escaped in label values, last line `# EOF`). Written by hand after its rules, from memory.
test('counters and gauges are written as families with their labels', () => {
  const text = openMetricsText([
    { name: 'lines', help: 'Lines taken.', kind: 'counter', value: 3, labels: { stream: 'main' } },
    { name: 'free_bytes', help: 'Free "space"\nleft.', kind: 'gauge', value: 1.5e21 },
    {
      name: 'lines_total',
      help: 'Lines taken.',
      kind: 'counter',
      value: 4,
      labels: { stream: 'a"b\\c\nd', side: 'out' },
    },
    { name: 'unknown_level', help: 'x', kind: 'gauge', value: Number.NaN },
    { name: 'endless', help: 'x', kind: 'gauge', value: Number.NEGATIVE_INFINITY },
  ])
  expect(text).toBe(
    [
      '# TYPE lines counter',
      '# HELP lines Lines taken.',
      'lines_total{stream="main"} 3',
      'lines_total{stream="a\\"b\\\\c\\nd",side="out"} 4',
      '# TYPE free_bytes gauge',
      '# HELP free_bytes Free \\"space\\"\\nleft.',
      'free_bytes 1.5e+21',
      '# TYPE unknown_level gauge',
      '# HELP unknown_level x',
      'unknown_level NaN',
      '# TYPE endless gauge',
      '# HELP endless x',
      'endless -Inf',
      '# EOF',
      '',
    ].join('\n'),
  )
})

test('the station’s metrics and those of its viewers come together', async () => {
  const station = await httpStation()
  await station.watch()
  const { headers, text } = await station.ask('/metrics')
  await station.close()
  expect(headers['content-type']).toBe('application/openmetrics-text; version=1.0.0; charset=utf-8')
  expect(text).toContain('flueledger_lines_total{stream="main"} 3\n')
  expect(text).toContain('flueledger_viewers 1\n')
})
