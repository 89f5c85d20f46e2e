// `npm test`: sets up, then runs every check and ends with one plain line, `N passed, N failed`.
// `--fast` (`npm run check`) leaves out what needs the built command, a browser or a pseudo-terminal.
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { ensureBuild } from './build.mjs'
import { ensurePrograms, testPrograms } from './debian.mjs'
import { ensurePackages } from './packages.mjs'
import { main, runNode, SetUpError, say, top } from './run.mjs'

const isFast = process.argv.includes('--fast')
const tallyFolder = mkdtempSync(join(tmpdir(), 'flueledger-tests-'))
/** What the tests and what they start take for the system's temporary folder, so that what one leaves there is seen and goes. */
const passingFolder = join(tallyFolder, 't')
/** What Node's `mkdtemp` names, as tests and commands do; what libraries of the browser leave beside it is not ours to judge. */
const isOurs = (name) => /^(?!playwright)[\w-]+-[A-Za-z0-9]{6}$/.test(name)
const total = { passed: 0, failed: 0, skipped: 0 }

const add = (tally) => {
  for (const kind of Object.keys(total)) total[kind] += tally[kind]
}

/** A check that is one program: passed or failed as a whole. */
async function check(name, file, parameters) {
  const { status, output } = await runNode(file, parameters, { quiet: true, environment: { NO_COLOR: '1' } })
  add(status === 0 ? { passed: 1, failed: 0, skipped: 0 } : { passed: 0, failed: 1, skipped: 0 })
  say(status === 0 ? `${name}: good` : `${name}: FAILED\n${output.trimEnd()}`)
}

/** One run of the test program. Its reporter leaves the tally in a file; without one the run broke down, which is a failure. */
async function tests(config) {
  const tallyFile = join(tallyFolder, 'tally.json')
  rmSync(tallyFile, { force: true })
  mkdirSync(passingFolder, { recursive: true })
  const environment = { FLUELEDGER_TALLY: tallyFile, NO_COLOR: '1', TMPDIR: passingFolder }
  const { status } = await runNode('node_modules/vitest/vitest.mjs', ['run', '--config', config], { environment })
  const tally = readTally(tallyFile)
  // A status without a failed test is a failure all the same: something outside the tests went wrong.
  if (status !== 0 && tally.failed === 0) tally.failed = 1
  add(tally)
  nothingLeft(config)
}

/** A check of its own: gigabytes that tests leave behind fill the disk of whoever runs them daily. */
function nothingLeft(config) {
  const left = readdirSync(passingFolder).filter(isOurs)
  add(left.length === 0 ? { passed: 1, failed: 0, skipped: 0 } : { passed: 0, failed: 1, skipped: 0 })
  if (left.length > 0) say(`${config}: its tests left ${left.length} behind: FAILED\n${left.slice(0, 20).join('\n')}`)
  rmSync(passingFolder, { recursive: true, force: true })
}

function readTally(file) {
  try {
    return JSON.parse(readFileSync(file, 'utf8'))
  } catch {
    return { passed: 0, failed: 0, skipped: 0 } // The status of the run tells that it broke down.
  }
}

/** The built command and the tests that drive it; a build that fails is one failure and says why. */
async function builtTests() {
  try {
    await ensureBuild()
  } catch (error) {
    if (!(error instanceof SetUpError)) throw error
    say(`build: FAILED\n${error.message}`)
    add({ passed: 0, failed: 1, skipped: 0 })
    return
  }
  await tests('tests/vitest.slow.config.ts')
}

await main(async () => {
  try {
    await ensurePackages()
    if (!isFast) await ensurePrograms(testPrograms, 'by the tests')
    await check('types', 'node_modules/typescript/bin/tsc', ['--noEmit', '-p', 'tsconfig.json'])
    await check('types without a browser', 'node_modules/typescript/bin/tsc', [
      '--noEmit',
      '-p',
      'server/tsconfig.json',
    ])
    await check('lint and format', 'node_modules/@biomejs/biome/bin/biome', [
      'ci',
      '--colors=off',
      '--error-on-warnings',
      top,
    ])
    await tests('tests/vitest.config.ts')
    if (!isFast) await builtTests()
    const skipped = total.skipped > 0 ? `, ${total.skipped} skipped` : ''
    process.stdout.write(`${total.passed} passed, ${total.failed} failed${skipped}\n`)
    return total.failed === 0 ? 0 : 1
  } finally {
    rmSync(tallyFolder, { recursive: true, force: true })
  }
})
