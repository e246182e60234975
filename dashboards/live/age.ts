/** Where the server's clock stood when something was heard, and ours at that moment. */
export interface Anchor {
  readonly at: number
  readonly wall: number
  readonly tick: number
}

export const anchorAt = (at: number): Anchor => ({ at, wall: Date.now(), tick: performance.now() })

/**
 * The server's time now, whatever the phone's clock says. Of the two clocks the one that moved further counts: the
 * steady one stands still in some phones while they sleep, the other may be set back; an age must never look younger.
 */
export const serverTime = (
  { at, wall, tick }: Anchor,
  here = { wall: Date.now(), tick: performance.now() },
): number => at + Math.max(0, here.wall - wall, here.tick - tick)
