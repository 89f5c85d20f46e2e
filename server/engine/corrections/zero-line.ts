/** How the zero of a channel moves until the next: by `perMs` from `fromMs` on, beside the one in use. */
export interface ZeroLine {
  readonly fromMs: number
  readonly perMs: number
}
