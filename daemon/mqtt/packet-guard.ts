/**
 * Bytes of one MQTT packet. The protocol allows 256 MiB, and both libraries gather a whole packet in memory before they
 * look at it. A reading needs a hundred bytes; whatever else shares the broker (a picture) gets 1 MiB.
 */
export const packetMax = 1024 * 1024

/**
 * Follows the packets in a stream of bytes by their fixed headers (MQTT 5.0, 2.1) and tells of one that is larger than
 * `packetMax`, as soon as its length is known. Give it every chunk; false means: hang up.
 */
export function packetGuard(): (chunk: Uint8Array) => boolean {
  let bodyLeft = 0
  let length: { value: number; shift: number } | null = null

  return (chunk) => {
    let at = 0
    while (at < chunk.length) {
      if (bodyLeft > 0) {
        const step = Math.min(bodyLeft, chunk.length - at)
        bodyLeft -= step
        at += step
      } else if (length === null) {
        // The first byte is the packet's kind; its length follows.
        length = { value: 0, shift: 0 }
        at += 1
      } else {
        const byte = chunk[at] ?? 0
        length.value += (byte & 0x7f) * 2 ** length.shift
        length.shift += 7
        at += 1
        if (length.value > packetMax || length.shift > 28) return false
        if ((byte & 0x80) === 0) {
          bodyLeft = length.value
          length = null
        }
      }
    }
    return true
  }
}
