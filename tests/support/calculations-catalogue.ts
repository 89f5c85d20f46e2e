import { calculationNamed, catalogue } from '../../server/engine/calculations/catalogue.ts'
import {
  type DescribedCalculation,
  type DescribedInput,
  described,
} from '../../server/engine/calculations/described.ts'

const head = `# The calculations, one by one

<!-- made from the catalogue by \`npx tsx tests/support/write-calculations-catalogue.ts\` -->

Every published calculation that \`flueledger calc\` and the page *Calculations* of the dashboard work, with its formula, inputs, range, source, status and the checks that it is held against. How a station forms its averages stands in [calculations](calculations.md).

* A number without a unit is in the first unit of its row; any unit of the row may stand behind it. Where concentrations are asked for, the unit is yours: all of one calculation as shares of the volume (ppm, vol%, ppb), or all as masses (mg/m3, ug/m3, g/m3); the result has that of the first.
* Outside its range a calculation gives no value and says what is allowed; it never guesses.
* **Status.** *published*: the equation or the number was read in a copy of the text that is named. *common practice*: plain physics, statistics or what the trade does. *from memory*: the text was not at hand ("recalled"): check it in your copy before you quote it.
* **Checks** are the ids of \`tests/fixtures/published/gas-calculations.json\`, each with its source and tolerance; \`tests/standards/gas-calculations.test.ts\` runs all 113 (V17 and V18: \`tests/standards/data-handling-vectors.test.ts\`). The worked example of every calculation is a test too (\`tests/standards/calculation-examples.test.ts\`).

> **Safety.** A figure is no permission. Flue gas can be toxic and hot, condensate is acidic, stacks are high, calibration gases are under pressure: the instrument's manual, the site's safety rules, local codes and licensed practice come first.

Where sources print another figure, or two published ways differ:

* Pitot constants: Method 2 prints 34.97 (metric) and 85.49 (English); turned into each other they lie 0.03 % apart. Each form keeps its own.
* lb/scf per ppm of SO2: printed 1.660e-7, from first principles 1.6625e-7 (0.16 %). For US results give the printed one.
* Air for C-3: the worked example prints 9.9798 where 28.965 g/mol gives 9.9781.
* Acid dew point C-14: the worksheet subtracts 273 and prints 110.525 °C; with 273.15 it is 110.375 °C.
* Metric F factors are rounded by themselves, up to 0.2 % from the English ones; some printings of Table 19-2 show 2.43e-7 and 0.287e-7 for natural gas, which equal neither 8710 nor 1040 (from memory). The English column is taken.
* Siegert loss and heat balance share no coefficient. Between 90 and 260 °C and 1 and 9 % O2 they agree within 2 % of the loss for natural gas (as methane) and 1 % for light oil; for liquefied gas the printed coefficients read 4 to 5 % lower than the balance of propane or butane.
* Saturation pressure at 25 °C: IAPWS-IF97 gives 3169.75 Pa, the ASHRAE equation 3169.2; the table prints 3169.7.
`

/** The page of all calculations, from the catalogue. */
export function calculationsCatalogue(): string {
  const families = catalogue.map(({ title, calculations }) =>
    [`## ${title}\n`, ...calculations.map((calculation) => section(described(calculation, title)))].join('\n'),
  )
  return [head, ...families].join('\n')
}

function section(about: DescribedCalculation): string {
  const { name, purpose, inputs, formula, valid, source, status, checks, caution, result, example } = about
  const isOpen = result.units.includes('ppm') && result.units.includes('mg/m3')
  const others = isOpen ? [] : result.units.slice(1).filter((one) => one !== '1')
  const unit = isOpen || result.units[0] === undefined || result.units[0] === '1' ? '' : `, ${result.units[0]}`
  return [
    `### ${name}\n`,
    `${sentence(purpose)}\n`,
    `> ${result.name}${unit} = ${escaped(formula)}\n`,
    '| input | unit | range | otherwise | meaning |',
    '| --- | --- | --- | --- | --- |',
    ...inputs.map(row),
    '',
    `* Holds for: ${escaped(valid)}.`,
    `* Source: ${escaped(source)}. Status: ${status}.`,
    `* Checks: ${checks.length > 0 ? checks.join(', ') : 'the worked example alone'}.`,
    `* Worked: \`${command(about)}\` is **${[example.value].flat().join(', ')}**${example.unit === '' || example.unit === '1' ? '' : ` ${example.unit}`}${example.note === '' ? '' : ` (${escaped(example.note)})`}.`,
    ...(others.length > 0 ? [`* The result also in: ${others.join(', ')}.`] : []),
    ...(caution === '' ? [] : [`* **Caution.** ${caution}`]),
    '',
  ].join('\n')
}

function row(input: DescribedInput): string {
  const { name, kind, units, options, low, high, otherwise, meaning, fewest, most } = input
  const unit = options.length > 0 ? 'one of a list' : units.map((one) => (one === '1' ? 'plain' : one)).join(', ')
  const range = options.length > 0 ? options.join(', ') : `${low}…${high}`
  const count =
    kind === 'number' || kind === 'choice' ? '' : `, ${fewest === most ? fewest : `${fewest} to ${most}`} of them`
  return `| \`${name}\` | ${unit} | ${range}${count} | ${otherwise ?? 'needed'} | ${escaped(meaning)} |`
}

const command = ({ name, example }: DescribedCalculation): string =>
  [
    `flueledger calc ${name}`,
    ...Object.entries(example.inputs).map(
      ([key, text], place) => `${place === 0 ? '--input ' : ''}${quoted(`${key}=${text}`)}`,
    ),
    ...(asksFor(name) ? [`--in ${example.unit}`] : []),
  ].join(' ')

/** Whether the example asks for another unit than the result's own. */
const asksFor = (name: string): boolean => calculationNamed(name)?.example.unit !== undefined

const quoted = (text: string): string => (/[\s;()]/.test(text) ? `"${text}"` : text)
const sentence = (text: string): string => `${text.charAt(0).toUpperCase()}${text.slice(1)}.`
const escaped = (text: string): string => text.replaceAll('|', '\\|')
