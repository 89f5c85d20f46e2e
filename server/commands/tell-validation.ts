import { exitStatus } from '../trouble.ts'
import { print, printJson } from './printing.ts'
import { faultLine, validate } from './validate.ts'

/** `flueledger validate`: says all faults at once; status 2 where there are any. */
export function tellValidation(path: string, { json }: { readonly json?: boolean }): number {
  const { kind, faults, warnings } = validate(path)
  if (json) printJson({ kind, ok: faults.length === 0, faults, warnings })
  else {
    for (const fault of faults) print(faultLine(fault))
    for (const warning of warnings) print(`note: ${faultLine(warning)}`)
    if (faults.length === 0) print(`${path}: a sound ${kind}`)
  }
  return faults.length === 0 ? exitStatus.done : exitStatus.wrongUse
}
