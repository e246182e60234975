/** Keeps what it is told, and lets a test wait until that is enough. No clock: it looks again at every telling. */
export class Told<Item> {
  readonly all: Item[] = []
  #waiting: { readonly isEnough: (all: readonly Item[]) => boolean; readonly go: () => void }[] = []

  readonly tell = (item: Item): void => {
    this.all.push(item)
    this.look()
  }

  /** Also to be called when what the predicates look at has changed otherwise. */
  look(): void {
    const enough = this.#waiting.filter(({ isEnough }) => isEnough(this.all))
    this.#waiting = this.#waiting.filter((one) => !enough.includes(one))
    for (const { go } of enough) go()
  }

  until(isEnough: (all: readonly Item[]) => boolean): Promise<void> {
    if (isEnough(this.all)) return Promise.resolve()
    return new Promise((go) => this.#waiting.push({ isEnough, go }))
  }

  count(number: number): Promise<void> {
    return this.until((all) => all.length >= number)
  }
}
