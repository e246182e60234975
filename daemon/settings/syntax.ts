import {
  isAlias,
  isMap,
  isNode,
  isScalar,
  isSeq,
  LineCounter,
  parseDocument,
  type Document,
  type Node,
  type YAMLError,
} from 'yaml'
import type { Path } from './problem.js'

/** A place in a file, counted from 1. */
export interface Place {
  readonly line: number
  readonly column: number
}

/** What a YAML text says as plain data, and where each part of it stands. */
export type Parsed =
  | { readonly kind: 'parsed'; readonly data: unknown; readonly placeOf: (path: Path) => Place }
  | {
      readonly kind: 'broken'
      readonly faults: readonly (Place & { readonly wrong: string; readonly right: string })[]
    }

/**
 * Reads YAML 1.2. The parser's own messages quote the text, which could be a secret: ours do not.
 *
 * @source YAML 1.2.2 (2021); package `yaml` for the codes.
 */
export function parseYaml(text: string): Parsed {
  const lines = new LineCounter()
  const document = parseDocument(text, {
    lineCounter: lines,
    prettyErrors: false,
    version: '1.2',
    logLevel: 'error',
  })
  const at = (offset: number): Place => {
    const { line, col } = lines.linePos(offset)
    return { line: Math.max(1, line), column: Math.max(1, col) }
  }
  const faults = telling([...document.errors, ...document.warnings])
  if (faults.length > 0) {
    return {
      kind: 'broken',
      faults: faults.map((fault) => ({ ...at(startOf(fault, document)), ...saying(fault) })),
    }
  }
  const lost = unknownAlias(document)
  if (lost !== null) {
    return {
      kind: 'broken',
      faults: [
        {
          ...at(lost),
          wrong: 'an alias (*…) of an anchor that is not there',
          right: 'set the anchor (&…) above it',
        },
      ],
    }
  }
  try {
    return { kind: 'parsed', data: document.toJS(), placeOf: (path) => at(offsetOf(document, path)) }
  } catch {
    // With unknown aliases out of the way, toJS() throws for one reason only: aliases of aliases that would grow
    // beyond measure (`maxAliasCount`).
    return {
      kind: 'broken',
      faults: [{ ...at(0), wrong: 'too many aliases', right: 'write out what the aliases stand for' }],
    }
  }
}

/** Faults that leave the structure whole, so that several of them are several mistakes. */
const independent: ReadonlySet<string> = new Set(['DUPLICATE_KEY', 'TAG_RESOLVE_FAILED', 'BAD_DQ_ESCAPE'])

/** After the first fault of structure, further ones mostly follow from it. */
function telling(faults: readonly YAMLError[]): readonly YAMLError[] {
  const first = faults.find(({ code }) => !independent.has(code))
  return faults.filter((fault) => fault === first || independent.has(fault.code))
}

/** Where a fault begins: a quote that is never closed is noticed at the end of the file, and meant where it opens. */
function startOf(fault: YAMLError, document: Document.Parsed): number {
  const [noticed] = fault.pos
  if (fault.code !== 'MISSING_CHAR') return noticed
  const open = nodesOf(document).filter(
    (node) => isScalar(node) && String(node.type).startsWith('QUOTE') && node.range?.[1] === noticed,
  )
  return open.at(-1)?.range?.[0] ?? noticed
}

function nodesOf(document: Document.Parsed): readonly Node[] {
  const found: Node[] = []
  const waiting: unknown[] = [document.contents]
  while (waiting.length > 0) {
    const node = waiting.pop()
    if (!isNode(node)) continue
    found.push(node)
    if (isMap(node)) for (const { key, value } of node.items) waiting.push(key, value)
    if (isSeq(node)) waiting.push(...node.items)
  }
  return found
}

/** By the parser's code and the beginning of its message, which at that place quotes nothing. The first that fits counts. */
const sayings: readonly (readonly [code: string, begins: string, wrong: string, right: string])[] = [
  ['DUPLICATE_KEY', '', 'this key stands twice', 'leave out one of the two'],
  ['TAB_AS_INDENT', '', 'a tab where spaces are due', 'indent with spaces'],
  ['BAD_INDENT', 'Flow', 'a bracket that is never closed', 'close it with ] or }, the inner one first'],
  ['BAD_INDENT', '', 'wrong indentation', 'put entries of one list or mapping in one column'],
  ['MULTIPLE_DOCS', '', 'more than one document', 'leave out the line ---'],
  ['MISSING_CHAR', 'Missing closing', 'a quote that is never closed', 'close it with the same quote'],
  [
    'MISSING_CHAR',
    'Sequence item',
    'an entry without -, or wrong indentation',
    'put the keys of one entry in one column',
  ],
  [
    'MISSING_CHAR',
    '',
    'a comma, colon or space is missing',
    'write a space after each colon, a comma between entries',
  ],
  ['UNEXPECTED_TOKEN', '', 'a sign that does not belong here', 'put text with special signs into quotes'],
  ['BLOCK_IN_FLOW', '', 'a list or mapping over several lines inside { } or [ ]', 'use one of the two forms'],
  ['BAD_ALIAS', '', 'an alias (*…) that is not written rightly', 'put text that begins with * into quotes'],
  ['BAD_SCALAR_START', '', 'text may not begin with this sign', 'put it into quotes'],
  [
    'BAD_DQ_ESCAPE',
    '',
    'an unknown escape in double quotes',
    'use single quotes, or write \\\\ for a backslash',
  ],
  ['TAG_RESOLVE_FAILED', '', 'an unknown tag (!…)', 'leave it out, or put the text into quotes'],
]

function saying({ code, message }: YAMLError): { wrong: string; right: string } {
  const [, , wrong, right] =
    sayings.find(([known, begins]) => code === known && message.startsWith(begins)) ?? unclear
  return { wrong, right }
}

const unclear = ['', '', 'this is not YAML 1.2', 'compare with the example in config/bellwater.yaml'] as const

function unknownAlias(document: Document.Parsed): number | null {
  const lost = nodesOf(document).find((node) => isAlias(node) && node.resolve(document) === undefined)
  return lost === undefined ? null : (lost.range?.[0] ?? 0)
}

/** Offset of the key (in a mapping) or item (in a list) that `path` leads to; of the nearest part above it that is there. */
function offsetOf(document: Document.Parsed, path: Path): number {
  let node: unknown = document.contents
  let offset = (node as Node | null)?.range?.[0] ?? 0
  for (const part of path) {
    if (isAlias(node)) node = node.resolve(document)
    const next = isMap(node)
      ? node.items.find(({ key }) => isScalar(key) && String(key.value) === String(part))
      : isSeq(node)
        ? { key: node.items[Number(part)], value: node.items[Number(part)] }
        : undefined
    if (next?.key === undefined) break
    offset = (next.key as Node).range?.[0] ?? offset
    node = next.value
  }
  return offset
}
