/** Topics with a retained message, and their bytes. A farm has some hundred of a hundred bytes each. */
export const retainedTopicsMax = 5000
export const retainedBytesMax = 16 * 1024 * 1024

/**
 * Our own broker keeps retained messages in memory, and anybody may invent topics. The returned function counts one
 * and says whether there is still room for it; beyond the ceiling a message passes on without being kept.
 */
export function retainedLimit(): (topic: string, bytes: number) => boolean {
  const sizes = new Map<string, number>()
  let total = 0
  return (topic, bytes) => {
    const before = sizes.get(topic)
    const after = total - (before ?? 0) + bytes
    const fits = after <= retainedBytesMax && (before !== undefined || sizes.size < retainedTopicsMax)
    // An empty retained message clears the topic (MQTT 5.0, 3.3.1.3).
    if (bytes === 0) sizes.delete(topic)
    else if (fits) sizes.set(topic, bytes)
    else return false
    total = after
    return true
  }
}
