/**
 * Ceilings for what a message may be. A probe's message is some tens of bytes; these are far above any honest one
 * and far below what could hurt the daemon. Common practice, no source.
 */

/** Bytes. Beyond it a payload is refused before a byte of it is parsed; a pack of 1000 SenML records has about 60 KiB. */
export const payloadMax = 64 * 1024
/** Brackets within brackets. Real messages have two or three; deep nesting only serves to exhaust a stack. */
export const jsonDepthMax = 32
/** Records in one SenML pack: more than a day of one probe at two minutes. */
export const senmlRecordsMax = 1000
/** Levels of a topic. Brokers end at 100 to 200; a farm needs five. */
export const topicLevelsMax = 32
/** Characters of a topic. MQTT allows 65535 bytes; topics are kept as keys of tables, so they are kept short. */
export const topicLengthMax = 512
/** Characters of a text that is read as a number; the longest double written out has fewer. */
export const numberTextMax = 400
/** Characters of a word list: more than all status words of a battery supply at once. */
export const wordsMax = 200
/** Topics of a pattern whose meaning is remembered; beyond it the memory starts afresh. */
export const knownTopicsMax = 4096
/** Units that messages bring along and whose conversion is remembered for one signal. */
export const knownUnitsMax = 16
