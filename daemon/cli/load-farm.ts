import { planFarm } from '../farm/plan-farm.js'
import type { FarmPlan } from '../farm/plan.js'
import { refusal } from '../settings/explain.js'
import { loadSettings, type Loaded, type Refused, type Source } from '../settings/load.js'
import { readSettings } from '../settings/read.js'
import type { Settings } from '../settings/schema.js'
import type { Terminal, VerbOptions } from './verb.js'

/** A configuration and what it makes of the farm. */
export interface LoadedFarm {
  readonly settings: Settings
  readonly plan: FarmPlan
  /** True of the farm and worth knowing, no mistakes. */
  readonly notes: readonly string[]
  /** The file as it was read, for showing differences (AL-46). */
  readonly loaded: Loaded
}

/**
 * Reads and plans the farm of `--config`. Throws BW_CONFIG with every problem as `file:line:column`, or saying that the
 * file cannot be read.
 */
export const loadFarm = (options: Pick<VerbOptions, 'config'>, terminal: Pick<Terminal, 'env'>): LoadedFarm =>
  planned(readSettings(options.config, terminal.env))

/** The same for a text that is at hand already (a page, a script's `configure`). */
export const farmFromText = (source: Source): LoadedFarm => planned(loadSettings(source))

function planned(read: Loaded | Refused): LoadedFarm {
  if (read.kind === 'refused') throw refusal(read.problems)
  const { settings } = read
  const made = planFarm(settings)
  if (made.kind === 'refused') throw refusal(read.located(made.problems))
  return { settings, loaded: read, plan: made.plan, notes: made.notes }
}
