/** A plain page, without script or style of its own: the browser's own look in both schemes, and it works before anything else does. */
export const signInPage = (trouble: string): string =>
  `<!doctype html><html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width"><meta name="color-scheme" content="light dark"><title>Sign in to this station</title><link rel="stylesheet" href="/sign-in.css"></head><body><main><h1>Sign in to this station</h1><p>Who signs in can start and end runs and acknowledge alarms. Do so only where you may.</p>${
    trouble === '' ? '' : `<p role="alert"><strong>${trouble}</strong></p>`
  }<form method="post" action="/sign-in"><p><label for="passphrase">Passphrase of the station</label></p><p><input id="passphrase" name="passphrase" type="password" autocomplete="current-password" required autofocus></p><p><button type="submit">Sign in</button></p></form><p>This line is not encrypted: use it on a network that you trust, or through a tunnel that your site allows.</p></main></body></html>`

/** Large enough for gloves, readable in both schemes. */
export const signInStyle = `body{font:18px/1.5 system-ui,sans-serif;margin:0;display:grid;place-items:center;min-height:100vh}main{max-width:30rem;padding:1.5rem}input,button{font:inherit;min-height:64px;padding:0 1rem;width:100%;box-sizing:border-box}`
