/** What the rooms need of a logger: a constant sentence, facts as fields. */
export interface Log {
  debug(facts: object, sentence: string): void
  info(facts: object, sentence: string): void
  warn(facts: object, sentence: string): void
  error(facts: object, sentence: string): void
  child(facts: object): Log
}

export const silentLog: Log = {
  debug() {},
  info() {},
  warn() {},
  error() {},
  child: () => silentLog,
}
