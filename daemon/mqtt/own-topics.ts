/** Everything that Bellwater says or hears for itself stands below this word (contract 4). */
export const ownRoot = 'bellwater'

/** Retained JSON, or `offline`. */
export const stateTopic = (farm: string): string => `${ownRoot}/${farm}/state`
/** Retained JSON of one alarm. */
export const alarmTopic = (farm: string, alarm: string): string => `${ownRoot}/${farm}/alarm/${alarm}`
export const derivedTopic = (farm: string, signal: string): string => `${ownRoot}/${farm}/derived/${signal}`
/** A wired button's. */
export const ackTopic = (farm: string): string => `${ownRoot}/${farm}/ack`

/** What stands in the state topic when nobody watches. */
export const offline = 'offline'

/** Topics that only the daemon itself may publish. */
export const isReserved = (topic: string, farm: string): boolean =>
  topic.startsWith('$') ||
  ((topic === ownRoot || topic.startsWith(`${ownRoot}/`)) && topic !== ackTopic(farm))
