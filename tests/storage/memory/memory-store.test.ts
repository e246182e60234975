import { memoryStore } from '../../../daemon/storage/memory/memory-store.js'
import { historyContract } from '../../contracts/history-contract.js'
import { recorderContract } from '../../contracts/recorder-contract.js'

recorderContract('memory', (clock) => {
  const { recorder } = memoryStore(clock)
  return { recorder, reopen: () => recorder, dispose: () => recorder.close() }
})

historyContract('memory', (clock) => {
  const store = memoryStore(clock)
  return { ...store, dispose: () => store.history.close() }
})
