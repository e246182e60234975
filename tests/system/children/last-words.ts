import { createLogger } from '../../../daemon/system/logger.js'

/** Logs a great deal and ends at once: what `process.exit` cuts off would be missing. */
const log = createLogger({ level: 'info' })
for (let line = 1; line < 500; line += 1) log.info({ line }, 'busy')
log.error({ line: 500 }, 'going down')
process.exit(3)
