import { z } from 'zod/mini'

/**
 * To be imported before any schema: these then check without generating code, as a page under `default-src 'self'`
 * must, where even trying to would be reported as a breach.
 */
z.config({ jitless: true })
