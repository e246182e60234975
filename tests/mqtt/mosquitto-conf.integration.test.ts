import { readFileSync } from 'node:fs'
import { connectAsync } from 'mqtt'
import { expect, it } from 'vitest'
import { connectOutside } from '../../daemon/mqtt/outside-broker.js'
import { describeWith, startMosquitto, type Mosquitto } from '../support/services.js'
import { ends, isUp, outside } from './ears.js'

/** The shipped file, as it is but for the port and the folder. */
const shipped = readFileSync(new URL('../../config/mosquitto.conf', import.meta.url), 'utf8')
const lines = shipped
  .split('\n')
  .filter((line) => line !== '' && !line.startsWith('#') && !line.startsWith('listener '))
  .map((line) => line.replace(/^persistence_location .*/, 'persistence_location %folder%/'))

/** More than mosquitto keeps by default (1000). */
const number = 2500

async function queueForAbsent(broker: Mosquitto): Promise<void> {
  const given = ends()
  const ears = await connectOutside(outside(broker.port, given))
  await given.troubles.until(isUp)
  await ears.close()
  const probe = await connectAsync(`mqtt://127.0.0.1:${broker.port}`)
  const sent = Array.from({ length: number }, (_, at) =>
    probe.publishAsync('farm/ph', String(at), { qos: 1 }),
  )
  await Promise.all(sent)
  await probe.endAsync()
}

async function takenNow(broker: Mosquitto): Promise<readonly unknown[]> {
  const given = ends()
  given.intake.commitsByItself = true
  const ears = await connectOutside(outside(broker.port, given))
  await given.intake.count(number)
  await ears.close()
  return given.intake.values()
}

const all = Array.from({ length: number }, (_, at) => at)

describeWith(['mosquitto'], 'config/mosquitto.conf', () => {
  it('keeps what comes while Bellwater is away, over a restart of the broker', async () => {
    const broker = await startMosquitto({ lines })
    await queueForAbsent(broker)
    await broker.stop()
    const again = await broker.again()
    expect(await takenNow(again)).toEqual(all)
    await again.close()
  })

  it('and over a power cut, up to the last time it was written to disk', async () => {
    const broker = await startMosquitto({ lines: [...lines, 'log_type information'] })
    await queueForAbsent(broker)
    // SIGUSR1 writes at once what autosave_interval writes by and by (mosquitto(8), Signals).
    process.kill(broker.pid, 'SIGUSR1')
    await broker.prints(/Saving in-memory database/)
    // It answers again only when the writing is done: it has one thread.
    await (await connectAsync(`mqtt://127.0.0.1:${broker.port}`)).endAsync()
    await broker.kill()
    const again = await broker.again()
    expect(await takenNow(again)).toEqual(all)
    await again.close()
  })

  it('holds more than twelve hours of 60 signals every 10 s', () => {
    const kept = Number(/^max_queued_messages (\d+)$/m.exec(shipped)?.[1])
    expect(kept).toBeGreaterThan((12 * 3600 * 60) / 10)
    expect(shipped).toContain('259 200 in 12 h')
  })
})
