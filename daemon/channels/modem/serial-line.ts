import { SerialPort } from 'serialport'
import { errorText } from '../detail.js'

/** An open serial line. */
export interface SerialLine {
  write(text: string): void
  /** Resolves when the device is free again. May be called again, also when it has gone by itself. */
  close(): Promise<void>
}

export interface LineEvents {
  heard(text: string): void
  /** It went by itself: unplugged, or it cannot be read or written. Told once, not after `close`. */
  gone(why: string): void
}

/** Opens a serial device: 8 data bits, no parity, 1 stop bit. Rejects when it is not there, not ours or taken. */
export function openLine(device: { path: string; baud: number }, events: LineEvents): Promise<SerialLine> {
  const port = new SerialPort({ path: device.path, baudRate: device.baud, autoOpen: false })
  let isOver = false
  const over = (why: string): void => {
    if (isOver) return
    isOver = true
    events.gone(why)
  }
  port.on('data', (octets: Buffer) => {
    if (!isOver) events.heard(octets.toString('latin1'))
  })
  // A write to a device that has just gone; without a listener it would end the process.
  port.on('error', (error) => {
    over(errorText(error))
    void shut(port)
  })
  port.on('close', (error: unknown) =>
    over(error === null || error === undefined ? 'closed' : errorText(error)),
  )
  return new Promise((resolve, reject) => {
    port.open((error) => {
      if (error !== null && error !== undefined) {
        isOver = true
        reject(error)
        return
      }
      resolve({
        write: (text) => void port.write(Buffer.from(text, 'latin1')),
        close: () => {
          isOver = true
          return shut(port)
        },
      })
    })
  })
}

const shut = (port: SerialPort): Promise<void> =>
  new Promise((resolve) => {
    if (!port.isOpen) {
      resolve()
      return
    }
    // An error says that it is closed already.
    port.close(() => resolve())
  })
