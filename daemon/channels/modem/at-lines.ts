/** What a modem says, cut into what has a meaning: whole lines, and the sign that it waits for the text of a message. */
export type AtPart = { readonly kind: 'line'; readonly text: string } | { readonly kind: 'prompt' }

// The longest line of ours is a data unit: 2 x 176 hexadecimal digits. A line that never ends is noise (our choice).
const lineMax = 2000
/** After an empty line, without an end of its own (3GPP TS 27.005, 3.5.1). */
const prompt = '> '

/**
 * Cuts what was heard; what is not yet whole comes back as `rest`, to be given again with the next. Empty lines are left
 * off: the standard sets one before each answer (ITU-T V.250, 5.7.1).
 */
export function atParts(
  rest: string,
  heard: string,
): { readonly rest: string; readonly parts: readonly AtPart[] } {
  // Some modems send zeros while they start.
  const pieces = `${rest}${heard.replaceAll('\0', '')}`.split(/[\r\n]+/)
  const last = pieces.pop() ?? ''
  const parts = pieces.filter((piece) => piece !== '').flatMap(partsOf)
  if (last === prompt) return { rest: '', parts: [...parts, { kind: 'prompt' }] }
  return { rest: last.length > lineMax ? '' : last, parts }
}

/** Where the text of a message is echoed, its line begins with the prompt when both arrive at once. */
const partsOf = (piece: string): readonly AtPart[] =>
  piece.startsWith(prompt)
    ? [{ kind: 'prompt' }, { kind: 'line', text: piece.slice(prompt.length) }]
    : [{ kind: 'line', text: piece }]
