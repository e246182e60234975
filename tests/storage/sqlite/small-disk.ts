import { spawnSync } from 'node:child_process'
import { chmodSync } from 'node:fs'

const does = (command: string, ...args: string[]): boolean =>
  spawnSync(command, args, { stdio: 'ignore' }).status === 0

export interface MountedDisk {
  resize(kilobytes: number): void
  unmount(): void
}

/** A file system of its own in `folder`; null where this user may not mount one. */
export function mountSmallDisk(folder: string, kilobytes: number): MountedDisk | null {
  if (!does('mount', '-t', 'tmpfs', '-o', `size=${kilobytes}k`, 'tmpfs', folder)) return null
  return {
    resize: (size) => {
      if (!does('mount', '-o', `remount,size=${size}k`, folder)) throw new Error(`cannot resize ${folder}`)
    },
    unmount: () => {
      if (!does('umount', folder)) throw new Error(`cannot unmount ${folder}`)
    },
  }
}

/**
 * Makes `folder` read-only in whichever way binds this user: permission bits for most, a read-only file system or an
 * immutable folder for root, whom the bits do not bind. Returns how to undo it.
 */
export function makeReadOnly(folder: string): () => void {
  if (process.getuid?.() !== 0) {
    chmodSync(folder, 0o555)
    return () => chmodSync(folder, 0o755)
  }
  if (does('mount', '-t', 'tmpfs', '-o', 'ro', 'tmpfs', folder)) return () => does('umount', folder)
  if (does('chattr', '+i', folder)) return () => does('chattr', '-i', folder)
  throw new Error('this root may neither mount nor chattr: run these tests as another user')
}
