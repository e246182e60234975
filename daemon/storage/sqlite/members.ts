import { existsSync } from 'node:fs'
import { Fault } from '../../errors.js'
import { openForWriting } from './connection.js'
import { storeFile } from './data-folder.js'
import { orStoreFault } from './faults.js'

/** Somebody who may come in: `password` is a hash, never the password. */
export interface KeptMember {
  readonly id: string
  readonly role: 'keeper' | 'hand' | 'guest'
  readonly password: string
}

/** Who may come in, in the store beside all else, so that one file is the whole backup. */
export interface Members {
  member(id: string): KeptMember | null
  all(): readonly KeptMember[]
  /** Replaces what was kept of that person. On disk when it returns. */
  keep(member: KeptMember): void
  /** Whether there was one. */
  remove(id: string): boolean
  close(): void
}

/**
 * Opens the members of a store that is there already, also while the daemon runs on it: SQLite lets another program write
 * between its commits. Throws a Fault `BW_STORE` when there is none.
 */
export function openMembers(folder: string): Members {
  const file = storeFile(folder)
  if (!existsSync(file))
    throw new Fault(
      'BW_STORE',
      `${folder}: there is no store yet`,
      'start the watch once with: bellwater run',
    )
  const db = openForWriting(file)
  const kept = `SELECT id, doc FROM state WHERE kind = 'member'`
  try {
    const one = db.prepare<[string], Row>(`${kept} AND id = ?`)
    const every = db.prepare<[], Row>(`${kept} ORDER BY id`)
    const put = db.prepare(`INSERT INTO state (kind, id, doc) VALUES ('member', ?, ?)
      ON CONFLICT (kind, id) DO UPDATE SET doc = excluded.doc`)
    const drop = db.prepare(`DELETE FROM state WHERE kind = 'member' AND id = ?`)
    return {
      member: (id) => orStoreFault(file, 'reading', () => memberOf(one.get(id))),
      all: () => orStoreFault(file, 'reading', () => every.all().flatMap((row) => memberOf(row) ?? [])),
      keep: ({ id, ...rest }) => orStoreFault(file, 'writing', () => void put.run(id, JSON.stringify(rest))),
      remove: (id) => orStoreFault(file, 'writing', () => drop.run(id).changes > 0),
      close: () => void db.close(),
    }
  } catch (thrown) {
    db.close()
    throw thrown
  }
}

interface Row {
  readonly id: string
  readonly doc: string
}

const memberOf = (row: Row | undefined): KeptMember | null =>
  row === undefined ? null : { id: row.id, ...(JSON.parse(row.doc) as Omit<KeptMember, 'id'>) }
