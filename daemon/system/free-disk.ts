import { statfs } from 'node:fs/promises'
import { Fault } from '../errors.js'

export interface DiskSpace {
  /** Bytes that this process may still use; less than what is free where the system keeps a reserve for root. */
  readonly free: number
  readonly total: number
}

/** Space on the file system that holds `folder`. Throws a Fault `BW_STORE` when the system cannot tell. */
export async function freeDisk(folder: string): Promise<DiskSpace> {
  try {
    const { bavail, blocks, bsize } = await statfs(folder)
    return { free: bavail * bsize, total: blocks * bsize }
  } catch (cause) {
    throw new Fault(
      'BW_STORE',
      `${folder}: cannot tell how much space is left`,
      'does the folder exist, and may we look into it?',
      { cause },
    )
  }
}
