/** Runs something once what this turn of the event loop brings has been taken in. */
export const soon = (run: () => void): void => void setImmediate(run)
