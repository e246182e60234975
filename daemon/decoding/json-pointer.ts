import { Fault } from '../errors.js'

/** A JSON Pointer taken apart: the names from the outside to the value. */
export type Path = readonly string[]

/**
 * Takes a JSON Pointer apart (RFC 6901, sections 3 and 4): empty for the whole document, else `/` before each name,
 * `~1` for `/` and `~0` for `~`. Throws BW_CONFIG for anything else, with `where` it stands.
 */
export function pointerPath(pointer: string, where: string): Path {
  if (pointer === '') return []
  if (!pointer.startsWith('/')) {
    throw new Fault(
      'BW_CONFIG',
      `${where}: "${pointer}" is no JSON Pointer`,
      `write "/${pointer.replaceAll('.', '/')}"`,
    )
  }
  if (/~(?![01])/.test(pointer)) {
    throw new Fault(
      'BW_CONFIG',
      `${where}: "${pointer}" has a ~ alone`,
      'in a JSON Pointer write ~0 for ~ and ~1 for /',
    )
  }
  return pointer
    .slice(1)
    .split('/')
    .map((name) => name.replaceAll('~1', '/').replaceAll('~0', '~'))
}

/** One name written as a part of a JSON Pointer. */
export const pointerName = (name: string): string => name.replaceAll('~', '~0').replaceAll('/', '~1')

const index = /^(?:0|[1-9]\d*)$/

/** What the path points at; undefined when nothing is there. Only a document's own names count, never inherited ones. */
export function valueAt(document: unknown, path: Path): unknown {
  let here = document
  for (const name of path) {
    if (Array.isArray(here)) {
      if (!index.test(name)) return undefined
      here = (here as readonly unknown[])[Number(name)]
    } else if (typeof here === 'object' && here !== null && Object.hasOwn(here, name)) {
      here = (here as Readonly<Record<string, unknown>>)[name]
    } else {
      return undefined
    }
  }
  return here
}
