const signs: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' }

/** Text as it stands in a page. */
export const escaped = (text: string): string => text.replace(/[&<>"]/g, (sign) => signs[sign] ?? sign)
