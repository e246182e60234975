import type { Delivered, Intake } from '../../daemon/ports/intake.js'
import { Told } from './told.js'

/** An intake whose commits the test makes. `roomFor` messages may wait for one. */
export class FakeIntake extends Told<Delivered> implements Intake {
  #open: Delivered[] = []
  #toldRoom: (() => void)[] = []
  /** Commits at the end of each turn, as the watch does when nothing is slow. */
  commitsByItself = false
  /** The most that ever waited at once. */
  most = 0

  constructor(private roomFor = Infinity) {
    super()
  }

  take(message: Delivered): void {
    if (this.commitsByItself && this.#open.length === 0) setImmediate(() => this.commit())
    this.#open.push(message)
    this.most = Math.max(this.most, this.#open.length)
    this.tell(message)
  }

  room(): boolean {
    return this.#open.length < this.roomFor
  }

  onRoom(tell: () => void): void {
    this.#toldRoom.push(tell)
  }

  /** Commits the oldest `count` messages, or all, and acknowledges them. */
  commit(count = Infinity): void {
    const done = this.#open.slice(0, count)
    this.#open = this.#open.slice(done.length)
    for (const { acknowledge } of done) acknowledge()
    if (!this.room()) return
    const told = this.#toldRoom
    this.#toldRoom = []
    for (const tell of told) tell()
  }

  /** Values taken so far, in order. */
  values(): readonly unknown[] {
    return this.all.flatMap(({ arrivals }) => arrivals.map(({ value }) => value))
  }
}
