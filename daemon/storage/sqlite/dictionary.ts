import type { Statement } from 'better-sqlite3'
import { assert } from '../../errors.js'
import type { Connection } from './connection.js'

/** Reasons repeat within a small vocabulary; if they ever do not, memory must not grow with them. */
const rememberedMax = 5000

/**
 * Words stored once and referred to by a small number. What is given out within a transaction that fails is forgotten
 * with it: call `forget` then, or a number would be used that no row stands behind.
 */
export class Dictionary {
  readonly #find: Statement<[string], number>
  readonly #add: Statement<[string]>
  readonly #known = new Map<string, number>()

  constructor(db: Connection, table: 'signals' | 'reasons', column: 'name' | 'texts') {
    this.#find = db.prepare<[string], number>(`SELECT id FROM ${table} WHERE ${column} = ?`).pluck()
    this.#add = db.prepare<[string]>(`INSERT INTO ${table} (${column}) VALUES (?)`)
  }

  numberOf(words: string): number {
    const known = this.#known.get(words)
    if (known !== undefined) return known
    const id = this.#find.get(words) ?? Number(this.#add.run(words).lastInsertRowid)
    assert(Number.isSafeInteger(id), `dictionary: ${id} is no number for "${words}"`)
    if (this.#known.size >= rememberedMax) this.#known.clear()
    this.#known.set(words, id)
    return id
  }

  forget(): void {
    this.#known.clear()
  }
}
