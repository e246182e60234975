import { recorderContract } from '../../contracts/recorder-contract.js'
import { temporaryFolders } from '../temporary-folder.js'
import { openStore, type Store } from '../../../daemon/storage/sqlite/open-store.js'

const newFolder = temporaryFolders()

recorderContract('SQLite', (clock) => {
  const folder = newFolder()
  let store: Store = openStore({ folder, clock })
  return {
    recorder: store.recorder,
    reopen: () => {
      store.close()
      store = openStore({ folder, clock })
      return store.recorder
    },
    dispose: () => store.close(),
  }
})
