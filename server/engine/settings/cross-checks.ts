import type { z } from 'zod'
/** Faults that only show when several parts of the file are held against each other. */
export function checkStationFile(_file: unknown, _context: z.core.$RefinementCtx): void {}
