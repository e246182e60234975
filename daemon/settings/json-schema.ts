import { z } from 'zod'
import { settingsSchema } from './schema.js'

/** The part of JSON Schema (draft 2020-12) that our schema comes out as. */
export interface JsonSchema {
  readonly type?: string | readonly string[]
  readonly description?: string
  readonly default?: unknown
  readonly examples?: readonly unknown[]
  readonly const?: unknown
  readonly enum?: readonly unknown[]
  readonly unit?: string
  readonly properties?: Readonly<Record<string, JsonSchema>>
  readonly required?: readonly string[]
  readonly items?: JsonSchema | false
  readonly prefixItems?: readonly JsonSchema[]
  readonly additionalProperties?: JsonSchema | boolean
  readonly anyOf?: readonly JsonSchema[]
  readonly oneOf?: readonly JsonSchema[]
}

/** What may be written in a configuration, as JSON Schema for editors. */
export const jsonSchema = (): JsonSchema => z.toJSONSchema(settingsSchema, { io: 'input' }) as JsonSchema

/** Content of `config/bellwater.schema.json`. */
export const jsonSchemaText = (): string =>
  `${JSON.stringify({ title: 'Bellwater configuration', ...jsonSchema() }, null, 2)}\n`
