import { textToCopy } from '../texts/averages.ts'

/**
 * Puts text into the clipboard; to be called from a tap or key. Over plain http from another machine the browser has no
 * clipboard for pages: the older way, by a selection, works there too. Returns whether it went well.
 */
export async function copyText(text: string): Promise<boolean> {
  if (isSecureContext && navigator.clipboard) {
    try {
      await navigator.clipboard.writeText(text)
      return true
    } catch {
      // Not allowed, or the page lost the focus: the older way is tried.
    }
  }
  const field = document.createElement('textarea')
  field.value = text
  field.setAttribute('aria-label', textToCopy)
  field.style.cssText = 'position:fixed;inset:0 auto auto 0;width:1px;height:1px;opacity:0'
  // Inside an open dialog nothing outside of it can have the focus.
  const before = document.activeElement
  document.body.append(field)
  field.select()
  const done = document.execCommand('copy')
  field.remove()
  if (before instanceof HTMLElement) before.focus()
  return done
}

/** Rows as a spreadsheet takes them from the clipboard: tabs between cells. Text that a spreadsheet would compute stays text. */
export const tabSeparated = (rows: readonly (readonly (string | number | null)[])[], decimal: string): string =>
  rows
    .map((row) =>
      row
        .map((cell) =>
          typeof cell === 'number'
            ? String(cell).replace('.', decimal)
            : (cell ?? '').replaceAll(/[\t\r\n]+/g, ' ').replace(/^[=+\-@]/, "'$&"),
        )
        .join('\t'),
    )
    .join('\r\n')
