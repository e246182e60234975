import type { Migration } from '../migrate.js'
import { first } from './0001-first.js'
import { corrections } from './0002-corrections.js'

/** In order and without a gap. What was once released is never edited: a change is a new file with the next number. */
export const migrations: readonly Migration[] = [first, corrections]
