import { anyUnit } from '../units/settings.js'
import { everydayWords } from '../units/unit-words.js'
import { jsonSchema, type JsonSchema } from './json-schema.js'

const head = `# Configuration

<!-- Generated from the schema in daemon/ by \`npm run generate\`; changes made here are lost. -->

Bellwater reads one YAML 1.2 file: \`config/bellwater.yaml\`, or the one named by \`--config\` or \`$BELLWATER_CONFIG\`.
\`bellwater.yaml\` is the commented example, \`minimal.yaml\` a small farm. \`bellwater check\` reads a file and says what is
wrong, with line and column, and what would be right. Changes take effect on SIGHUP or from the page, whole or not at all.

- **Values with a unit** carry it: \`4.5 mg/L\`, \`2 min\`, \`78 degF\`, \`500 gal\`. A bare number there is an error; only pH may be
  bare. Units are the case-sensitive codes of UCUM (\`Cel\`, \`mg/L\`, \`uS/cm\`) and the everyday words at the end.
- **Differences of temperature** (deadband, rate) may be in \`K\`, \`Cel\` or \`degF\`; **rates** are written as \`0.05 mg/L/min\`.
- **Secrets** come from files (\`password_file: /run/secrets/mqtt\`, relative to the configuration) or from the environment
  (\`password: \${MQTT_PASSWORD}\`); \`\${NAME}\` is filled in inside any text, \`$\${NAME}\` stays as it is. A secret that is written
  out is an error. None is ever shown.
- **Unknown keys** are errors, with the nearest known key.
`

/** Content of `config/README.md`. */
export function referencePage(): string {
  const root = jsonSchema()
  const words = everydayWords.map((word) => `\`${word}\``).join(', ')
  const sections = Object.entries(root.properties ?? {}).map(([name, schema]) => section(name, schema, root))
  const end = `## Everyday words for units\n\n${words}\n`
  return [head, ...sections, end].join('\n')
}

function section(name: string, schema: JsonSchema, root: JsonSchema): string {
  const due = root.required?.includes(name) === true ? ' Required.' : ''
  const shape = shapeOf(schema)
  const title = `## \`${name}\`\n\n${plain(schema.description ?? '')}${shape}${due}\n`
  const kinds =
    isMapping(schema) && typeof schema.additionalProperties === 'object'
      ? choices(schema.additionalProperties)
      : []
  if (kinds.length > 1) {
    const tables = kinds.map((kind) => `### \`kind: ${kindOf(kind)}\`\n\n${table(rowsOf(kind, ''))}`)
    return [title, ...tables].join('\n')
  }
  return `${title}\n${table(rowsOf(schema, ''))}`
}

const shapeOf = (schema: JsonSchema): string =>
  schema.type === 'array'
    ? ' A list; each entry has:'
    : typeof schema.additionalProperties === 'object'
      ? ' A mapping of names; under each name:'
      : ''

const kindOf = (schema: JsonSchema): string => String(schema.properties?.['kind']?.const ?? '')

const choices = (schema: JsonSchema): readonly JsonSchema[] => schema.anyOf ?? schema.oneOf ?? []
const isMapping = (schema: JsonSchema): boolean => schema.type === 'object'

interface Row {
  readonly key: string
  readonly type: string
  readonly usual: string
  readonly meaning: string
  readonly example: string
}

/** Every key below a schema, nested ones as `repeat.every`, `steps[].after`, `<name>.kind`. */
function rowsOf(schema: JsonSchema, prefix: string): readonly Row[] {
  const own = Object.entries(schema.properties ?? {}).flatMap(([key, child]) => [
    rowOf(`${prefix}${key}`, child, schema.required?.includes(key) === true),
    ...rowsOf(child, `${prefix}${key}.`),
  ])
  const items =
    typeof schema.items === 'object'
      ? rowsOf(schema.items, prefix === '' ? '' : `${prefix.slice(0, -1)}[].`)
      : []
  const named =
    typeof schema.additionalProperties === 'object'
      ? rowsOf(schema.additionalProperties, prefix === '' ? '' : `${prefix}<name>.`)
      : []
  const forms = choices(schema).filter((choice) => choice.properties !== undefined)
  const either = choices(schema).flatMap((choice) =>
    rowsOf(choice, prefix).map((row) => inOneForm(row, prefix, forms)),
  )
  const all = [...own, ...items, ...named, ...either]
  // Two forms of one mapping share keys (`after` of a ladder's step).
  return all.filter((row, index) => all.findIndex(({ key }) => key === row.key) === index)
}

/** A key that only one of several forms of a mapping has is not always required. */
const inOneForm = (row: Row, prefix: string, forms: readonly JsonSchema[]): Row => {
  const key = row.key.slice(prefix.length)
  const elsewhere = forms.some((form) => form.properties?.[key] === undefined)
  return row.usual === required && elsewhere && !/[.[]/.test(key)
    ? { ...row, usual: `${required} in one form` }
    : row
}

const required = '**required**'

const rowOf = (key: string, schema: JsonSchema, isRequired: boolean): Row => ({
  key,
  type: typeOf(schema),
  usual: isRequired ? required : usualOf(schema.default),
  meaning: schema.description ?? '',
  example: exampleOf(schema),
})

const usualOf = (value: unknown): string =>
  value === undefined || typeof value === 'object' ? '' : code(String(value) === '' ? '""' : String(value))

function typeOf(schema: JsonSchema): string {
  const kinds = choices(schema)
  if (kinds.length > 0) return [...new Set(kinds.map(typeOf))].join(' or ')
  if (schema.const !== undefined) return code(String(schema.const))
  if (schema.enum !== undefined) return schema.enum.map((word) => code(String(word))).join(', ')
  if (schema.unit === 'ms') return 'length of time'
  if (schema.unit === anyUnit) return 'value with unit'
  if (schema.unit !== undefined) return `value with unit (${code(schema.unit)})`
  if (Array.isArray(schema.type))
    return schema.type.map((type) => names[String(type)] ?? String(type)).join(' or ')
  if (schema.prefixItems !== undefined) return `two of: ${typeOf(schema.prefixItems[0] ?? {})}`
  if (schema.type === 'array')
    return typeof schema.items === 'object' ? `list of ${typeOf(schema.items)}` : 'list'
  return typeof schema.type === 'string' ? (names[schema.type] ?? schema.type) : 'text'
}

const names: Readonly<Record<string, string>> = {
  string: 'text',
  integer: 'whole number',
  boolean: 'true, false',
  object: 'mapping',
}

function exampleOf(schema: JsonSchema): string {
  const [own] = schema.examples ?? []
  if (own !== undefined) return code(String(own))
  if (schema.prefixItems !== undefined) {
    return code(`[${schema.prefixItems.map((item) => String(item.examples?.[0] ?? '')).join(', ')}]`)
  }
  if (typeof schema.items === 'object' && schema.items.type === 'string')
    return code(`[${String(schema.items.examples?.[0] ?? '')}]`)
  return (
    choices(schema)
      .map(exampleOf)
      .find((example) => example !== '') ?? ''
  )
}

/** Text that Markdown must not take for markup. */
const plain = (text: string): string => text.replaceAll('|', '\\|').replaceAll('<', '&lt;')

const code = (text: string): string => `\`${text.replaceAll('|', '\\|')}\``

function table(rows: readonly Row[]): string {
  const lines = rows.map(
    ({ key, type, usual, meaning, example }) =>
      `| ${code(key)} | ${type} | ${usual} | ${plain(meaning)} | ${example} |`,
  )
  return [
    '| key | type | default | meaning | example |',
    '| --- | --- | --- | --- | --- |',
    ...lines,
    '',
  ].join('\n')
}
