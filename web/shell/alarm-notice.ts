/** Whether this browser may show a notification, and if not, why. */
export type NoticeState = 'none' | 'insecure' | 'default' | 'granted' | 'denied'

export function noticeState(): NoticeState {
  if (typeof Notification === 'undefined') return isSecureContext ? 'none' : 'insecure'
  return isSecureContext ? Notification.permission : 'insecure'
}
export const askForNotices = async (): Promise<void> => {
  if (noticeState() === 'default') await Notification.requestPermission()
}

/** Shown where the page is in the background; a newer one of the same alarm replaces it. */
export function notify(title: string, body: string, tag: string): void {
  if (noticeState() !== 'granted' || !document.hidden) return
  try {
    const notice = new Notification(title, { body, tag, icon: 'favicon-alarm.svg', requireInteraction: true })
    notice.onclick = () => {
      window.focus()
      notice.close()
    }
  } catch {
    // Some browsers on phones allow notifications to service workers alone; banner and sound remain.
  }
}

/** The tab itself tells of alarms: a number and a word before its name, and another icon. */
export function badge(station: string, open: number, first: string): void {
  const title = open ? `(${open}) ${first} · ${station}` : station
  if (document.title !== title) document.title = title
  const icon = document.querySelector<HTMLLinkElement>('link[rel=icon]')
  const file = open ? './favicon-alarm.svg' : './favicon.svg'
  if (icon && icon.getAttribute('href') !== file) icon.setAttribute('href', file)
}
