/** Where a paragraph stands: how wide the page is, and what precedes its first and its other lines. */
interface Paragraph {
  readonly width: number
  readonly first: string
  readonly rest: string
}

/** A text in lines of at most `width` letters, broken between words. A word that is longer stands alone and sticks out. */
export function wrapped(text: string, { width, first, rest }: Paragraph): readonly string[] {
  const lines: string[] = []
  let line = first
  let isEmpty = true
  for (const word of text.split(' ')) {
    if (!isEmpty && line.length + 1 + word.length > width) {
      lines.push(line)
      line = rest
      isEmpty = true
    }
    line += isEmpty ? word : ` ${word}`
    isEmpty = false
  }
  return [...lines, line]
}

/** Rows of cells, each column as wide as its widest cell; what does not fit in the last column goes on below it. */
export function columns(
  rows: readonly (readonly string[])[],
  { indent, width }: { readonly indent: number; readonly width: number },
): readonly string[] {
  const widths = (rows[0] ?? []).map((_, column) =>
    Math.max(...rows.map((row) => (row[column] ?? '').length)),
  )
  const before = indent + widths.slice(0, -1).reduce((sum, one) => sum + one + 2, 0)
  return rows.flatMap((row) => {
    const start = row.slice(0, -1).map((cell, column) => `${cell.padEnd(widths[column] ?? 0)}  `)
    const first = `${' '.repeat(indent)}${start.join('')}`
    return wrapped(row.at(-1) ?? '', { width, first, rest: ' '.repeat(before) })
  })
}
