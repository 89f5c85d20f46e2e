import { type LineProfile, lineProfile } from '../profile.ts'

/** A profile without what is set anyhow: as a person would write it. Reading it again gives the same profile. */
export function plainProfile(profile: LineProfile): Record<string, unknown> {
  const least = lineProfile.parse({
    form: profile.form,
    name: profile.name,
    fields: [{ name: 'x', at: 'x' }],
    ...(profile.form === 'pattern' ? { pattern: '(?P<x>.)' } : {}),
  }) as Record<string, unknown>
  const same = (one: unknown, other: unknown): boolean => JSON.stringify(one) === JSON.stringify(other)
  const usualField = { origin: 'measured', selfZeroing: false, diluted: true } as Record<string, unknown>
  const without = (of: Readonly<Record<string, unknown>>, usual: Readonly<Record<string, unknown>>) =>
    Object.fromEntries(Object.entries(of).filter(([key, value]) => value !== undefined && !same(value, usual[key])))
  const { form, name, fields, ...rest } = profile
  return {
    form,
    name,
    ...without(rest, least),
    fields: fields.map(({ name: field, at, ...more }) => ({ name: field, at, ...without(more, usualField) })),
  }
}
