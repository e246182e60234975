/** What a gateway's templates may ask for. */
export interface Fields {
  readonly to: string
  readonly text: string
  readonly id: string
  readonly subject: string
}

type Escape = (text: string) => string

const field = /\{\{(to|text|id|subject)\}\}|\{(to|text|id|subject)\}/g

/** Puts the fields in place of `{{to}}` or `{to}`; all other braces stay, so that JSON can be written as it is. */
export const filled = (template: string, fields: Fields, escape: Escape): string =>
  template.replaceAll(field, (_, double?: keyof Fields, single?: keyof Fields) => {
    const name = double ?? single
    return name === undefined ? '' : escape(fields[name])
  })

/** How a value is written inside a body of this content type, so that no text can break out of its place. */
export function escapeFor(contentType: string): Escape {
  const [type = ''] = contentType.toLowerCase().split(';')
  if (/[/+]json$/.test(type.trim())) return (text) => JSON.stringify(text).slice(1, -1)
  if (type.trim() === 'application/x-www-form-urlencoded') return encodeURIComponent
  if (/[/+]xml$/.test(type.trim()))
    return (text) => text.replaceAll(/[&<>"']/g, (sign) => `&#${sign.charCodeAt(0)};`)
  return (text) => text
}
