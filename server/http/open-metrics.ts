import type { StationFace } from './station-face.ts'

export type Metric = ReturnType<StationFace['metrics']>[number]

/** Source: OpenMetrics 1.0.0, "Overall structure" (content type, `# EOF`, families in one piece, `_total` on counters). */
export const openMetricsType = 'application/openmetrics-text; version=1.0.0; charset=utf-8'

export function openMetricsText(metrics: readonly Metric[]): string {
  const families = new Map<string, Metric[]>()
  for (const metric of metrics) {
    const family = familyOf(metric)
    const known = families.get(family)
    if (known) known.push(metric)
    else families.set(family, [metric])
  }
  const lines = [...families].flatMap(([family, [first, ...rest]]) =>
    first === undefined
      ? []
      : [
          `# TYPE ${family} ${first.kind}`,
          `# HELP ${family} ${escaped(first.help)}`,
          ...[first, ...rest].map((metric) => sample(family, metric)),
        ],
  )
  return `${[...lines, '# EOF'].join('\n')}\n`
}

const familyOf = ({ name, kind }: Metric): string => (kind === 'counter' ? name.replace(/_total$/, '') : name)

function sample(family: string, { kind, labels = {}, value }: Metric): string {
  const pairs = Object.entries(labels).map(([name, text]) => `${name}="${escaped(text)}"`)
  return `${family}${kind === 'counter' ? '_total' : ''}${pairs.length > 0 ? `{${pairs.join(',')}}` : ''} ${numberText(value)}`
}

const escaped = (text: string): string => text.replaceAll('\\', '\\\\').replaceAll('"', '\\"').replaceAll('\n', '\\n')

function numberText(value: number): string {
  if (Number.isNaN(value)) return 'NaN'
  return Number.isFinite(value) ? String(value) : value > 0 ? '+Inf' : '-Inf'
}
