// `npm run dev`: the station from its sources, restarted on change, and the dashboard by Vite in front of it. Parameters go to the station.
import { spawn } from 'node:child_process'
import { join } from 'node:path'
import { ensurePackages } from './packages.mjs'
import { main, top } from './run.mjs'

await main(async () => {
  await ensurePackages()
  // Groups of their own, so that Ctrl-C reaches them once, through here: a second signal would end the station unsealed.
  const start = (file, parameters) =>
    spawn(process.execPath, [join(top, file), ...parameters], {
      cwd: top,
      stdio: ['ignore', 'inherit', 'inherit'],
      detached: true,
    })
  const children = [
    start('node_modules/tsx/dist/cli.mjs', [
      'watch',
      '--clear-screen=false',
      'server/main.ts',
      'demo',
      '--port',
      '8080',
      ...process.argv.slice(2),
    ]),
    start('node_modules/vite/bin/vite.js', ['--config', 'web/vite.config.ts', '--clearScreen', 'false']),
  ]
  let isStopping = false
  const stop = (signal) => {
    if (isStopping) return
    isStopping = true
    for (const child of children) child.kill(signal)
  }
  for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP']) process.on(signal, stop)
  // Whichever ends first ends the other.
  for (const child of children) child.on('exit', () => stop('SIGTERM'))
  await Promise.all(children.map((child) => new Promise((ended) => child.on('exit', ended))))
  return 0
})
