/** What this browser remembers of its user; nothing is kept where the browser forbids it. */
function read(key: string): string {
  try {
    return localStorage.getItem(`flueledger.${key}`) ?? ''
  } catch {
    return '' // Storage is switched off: the name is typed each time.
  }
}
function write(key: string, value: string): void {
  try {
    localStorage.setItem(`flueledger.${key}`, value)
  } catch {
    // As above.
  }
}

export const rememberedName = (): string => read('name')
export const rememberName = (name: string): void => write('name', name)

export const rememberedSound = (): boolean => read('sound') === 'on'
export const rememberSound = (on: boolean): void => write('sound', on ? 'on' : 'off')

export const themes = ['system', 'light', 'dark', 'contrast'] as const
export type Theme = (typeof themes)[number]
export const rememberedTheme = (): Theme => themes.find((theme) => theme === read('theme')) ?? 'system'
export function applyTheme(theme: Theme): void {
  write('theme', theme)
  if (theme === 'system') delete document.documentElement.dataset.theme
  else document.documentElement.dataset.theme = theme
}
