import type { Command } from 'commander'

/** How a verb ended. 0 done; 1 it ran and failed; 2 usage or configuration error. */
export type ExitCode = 0 | 1 | 2

/** Where a verb prints: results to `out`, everything else to `err`. */
export interface Terminal {
  readonly out: (text: string) => void
  readonly err: (text: string) => void
  readonly env: Readonly<Record<string, string | undefined>>
  /** Columns, for tables; 80 when it is no terminal. */
  readonly width: number
}

/** One thing that can be typed. One file per verb; `cli.ts` lists them. */
export interface Verb {
  readonly name: string
  /** Arguments as commander writes them: `<quantity> [inputs...]`; '' for none. */
  readonly usage: string
  readonly summary: string
  /** A command line that works as printed. */
  readonly example: string
  /** Adds the verb's own options; `--config` and `--json` are there already. */
  options(command: Command): void
  run(args: readonly string[], options: VerbOptions, terminal: Terminal): Promise<ExitCode>
}

export interface VerbOptions {
  /** The configuration file: `--config`, else `$BELLWATER_CONFIG`, else `config/bellwater.yaml`. */
  readonly config: string
  readonly json: boolean
  /** The verb's own options, as commander leaves them. */
  readonly own: Readonly<Record<string, unknown>>
}
