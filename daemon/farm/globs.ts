/** True if the text has a wildcard: `*` stands for any letters within one part, `?` for one letter. */
export const isGlob = (text: string): boolean => /[*?]/.test(text)

/**
 * A test for names that match. `*` and `?` stay within one part of `place/quantity`: `tank-*` does not reach across
 * the slash. Everything else means itself.
 */
export function globMatcher(glob: string): (name: string) => boolean {
  const source = glob
    .replace(/[.+^${}()|[\]\\]/g, '\\$&')
    .replaceAll('*', '[^/]*')
    .replaceAll('?', '[^/]')
  const form = new RegExp(`^${source}$`)
  return (name) => form.test(name)
}
