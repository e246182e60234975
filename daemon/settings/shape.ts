import type { z } from 'zod'
import { valueAt, type Path } from './problem.js'

type Schema = z.core.$ZodType

/** The schemas that may stand at `path`: wrappers (optional, default) with what they wrap, unions with each choice. */
export function schemasAt(root: Schema, path: Path, data: unknown): readonly Schema[] {
  let here = spread(root)
  path.forEach((part, depth) => {
    const value = valueAt(data, path.slice(0, depth))
    here = here.filter((schema) => fits(schema, value)).flatMap((schema) => below(schema, part))
  })
  return here
}

/** Keys that a mapping at `path` may have. */
export function keysAt(root: Schema, path: Path, data: unknown): readonly string[] {
  const value = valueAt(data, path)
  const keys = schemasAt(root, path, data)
    .filter((schema) => fits(schema, value))
    .flatMap((schema) => {
      const { def } = inner(schema)
      return def.type === 'object' ? Object.keys(def.shape) : []
    })
  return [...new Set(keys)]
}

const inner = (schema: Schema) => (schema as z.core.$ZodTypes)._zod

/** The other kinds of schema wrap nothing and hold nothing. */
const wrappers = ['optional', 'default', 'prefault', 'nullable', 'readonly'] as const
type Wrapper = Extract<z.core.$ZodTypes['_zod']['def'], { type: (typeof wrappers)[number] }>

const isWrapper = (def: z.core.$ZodTypes['_zod']['def']): def is Wrapper =>
  (wrappers as readonly string[]).includes(def.type)

function spread(schema: Schema): readonly Schema[] {
  const { def } = inner(schema)
  if (isWrapper(def)) return [schema, ...spread(def.innerType)]
  if (def.type === 'pipe') return [schema, ...spread(def.in)]
  return def.type === 'union' ? [schema, ...def.options.flatMap(spread)] : [schema]
}

function below(schema: Schema, part: string | number): readonly Schema[] {
  const { def } = inner(schema)
  const next =
    def.type === 'object' && Object.hasOwn(def.shape, part)
      ? def.shape[part]
      : def.type === 'array'
        ? def.element
        : def.type === 'record'
          ? def.valueType
          : def.type === 'tuple'
            ? def.items[Number(part)]
            : undefined
  return next === undefined ? [] : spread(next)
}

/** Of several kinds of mapping (`kind: smtp`, `kind: modem`), the one that was meant; every one while that is unknown. */
function fits(schema: Schema, value: unknown): boolean {
  const { def } = inner(schema)
  if (def.type !== 'object' || typeof value !== 'object' || value === null) return true
  const kind = def.shape['kind']
  const said = (value as Record<string, unknown>)['kind']
  if (kind === undefined || said === undefined) return true
  const kinds = inner(kind).def
  return kinds.type !== 'literal' || (kinds.values as readonly unknown[]).includes(said)
}
