import process from 'node:process'

export interface SignalCallbacks {
  /** SIGTERM or SIGINT. `times` counts them: 1 asks for an orderly stop, more cuts it short. */
  readonly stop: (signal: 'SIGTERM' | 'SIGINT', times: number) => void
  /** SIGHUP: read the settings again. */
  readonly reload: () => void
}

/** Listens to what the system asks of the process. Returns how to stop listening; the usual effects then hold again. */
export function onSignals({ stop, reload }: SignalCallbacks): () => void {
  let times = 0
  const ending = (signal: 'SIGTERM' | 'SIGINT') => () => {
    times += 1
    stop(signal, times)
  }
  const listeners = [
    ['SIGTERM', ending('SIGTERM')],
    ['SIGINT', ending('SIGINT')],
    ['SIGHUP', reload],
  ] as const
  for (const [signal, listener] of listeners) process.on(signal, listener)
  return () => {
    for (const [signal, listener] of listeners) process.off(signal, listener)
  }
}
