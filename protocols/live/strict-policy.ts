import { z } from 'zod'

/**
 * Schemas check without generating code, as a page under `default-src 'self'` must: even trying to would be
 * reported as a breach. To be called before the first message is parsed.
 */
export const checkWithoutCodeGeneration = (): void => {
  z.config({ jitless: true })
}
