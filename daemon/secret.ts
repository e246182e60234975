/** Shown wherever a secret would be. */
export const secretShown = '(secret)'

/**
 * Keys of the configuration whose value may not be written out: it comes from the environment, or from a file by the
 * key with `_file` behind it.
 */
export const secretKeys: readonly string[] = ['password', 'token', 'pin']

const inspect = Symbol.for('nodejs.util.inspect.custom')

/**
 * A password or token that cannot be printed by accident: text, JSON and the debugger's view all show `(secret)`.
 * Only `reveal()` gives the value, so that a search for that word finds every place that uses one.
 */
export class Secret {
  readonly #value: string
  constructor(value: string) {
    this.#value = value
  }
  reveal(): string {
    return this.#value
  }
  /** Whether two are the same, without showing either. */
  equals(other: Secret): boolean {
    return this.#value === other.#value
  }
  toString(): string {
    return secretShown
  }
  toJSON(): string {
    return secretShown
  }
  [inspect](): string {
    return secretShown
  }
}
