import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { calculationsCatalogue } from './calculations-catalogue.ts'

/** Writes the page of the calculations anew, after the catalogue has changed. */
writeFileSync(join(import.meta.dirname, '../../docs/calculations-catalogue.md'), calculationsCatalogue())
