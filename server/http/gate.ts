import express, { type Express, type Request, type Response } from 'express'
import { z } from 'zod'
import { refuse } from './refusal.ts'
import { type SignIn, signedOut } from './sign-in.ts'
import { signInPage, signInStyle } from './sign-in-page.ts'

const sent = z.object({ passphrase: z.string().max(1000) })
const status = { wrong: 401, 'too-many': 429 } as const

/** Lets in who has signed in; everyone else gets the page that asks, or 401. Mounted before everything that tells something. */
export function mountGate(app: Express, signIn: SignIn): void {
  app.get('/sign-in', (_request, response) => page(response, 200, ''))
  app.get('/sign-in.css', (_request, response) => void response.type('css').send(signInStyle))
  app.post(
    '/sign-in',
    express.urlencoded({ extended: false, limit: 4096, inflate: false }),
    async (request, response) => {
      const body = sent.safeParse(request.body)
      const tried = await signIn.try(body.success ? body.data.passphrase : '')
      if (tried.ok) response.setHeader('set-cookie', tried.cookie).redirect(303, '/')
      else if (tried.why === 'wrong') page(response, status.wrong, 'This is not the passphrase.')
      else {
        response.setHeader('retry-after', tried.waitSeconds)
        page(response, status['too-many'], `Too many tries. Wait ${tried.waitSeconds} seconds.`)
      }
    },
  )
  app.post('/sign-out', (_request, response) => response.setHeader('set-cookie', signedOut).redirect(303, '/sign-in'))
  app.use((request, response, next) => {
    if (signIn.isSignedIn(request)) next()
    else if (asksForPage(request)) response.redirect(303, '/sign-in')
    else refuse(response, { status: 401, errors: ['sign in first: open /sign-in in a browser'] })
  })
}

function page(response: Response, code: number, trouble: string): void {
  response.status(code).setHeader('cache-control', 'no-store').type('html').send(signInPage(trouble))
}

const asksForPage = (request: Request): boolean =>
  request.method === 'GET' && request.path === '/' && request.accepts(['json', 'html']) === 'html'
