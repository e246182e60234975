import { join } from 'node:path'
import type { Running } from '../assembly/assemble.js'
import type { LoadedFarm } from './load-farm.js'

/** The first lines in a terminal: where the page is, what is watched, how to connect a probe (contract 1). */
export function welcome({ settings, plan, notes }: LoadedFarm, running: Running, practice: boolean): string {
  const probes = [...plan.signals.values()].filter((signal) => signal.origin !== 'computed')
  const tanks = [...plan.places.values()].filter((place) => place.fish !== null)
  const real = Object.values(settings.channels).filter(
    (channel) => channel.kind !== 'folder' && channel.kind !== 'mqtt',
  )
  const lines = [
    '',
    `Bellwater watches ${plan.farm.name}.`,
    `  page     ${running.page}`,
    `  broker   ${running.broker}`,
    `  watched  ${probes.length} signals at ${plan.places.size} places, ${tanks.length} tanks with fish, ${plan.alarms.size} alarms`,
    real.length === 0
      ? `  calls    nobody is really called yet: texts and mails are written to ${join(settings.store.folder, 'outbox')}`
      : `  calls    ${plan.people.size} people over ${Object.keys(settings.channels).join(', ')}`,
    ...(practice
      ? ['  practice this is a simulated greenhouse; set practice.enabled to false for a real one']
      : []),
    '',
    'A real probe publishes like this (the line works as it stands):',
    `  ${publishLine(running.broker, settings, plan)}`,
    ...notes.slice(0, 5).map((note) => `note: ${note}`),
    '',
    'Bellwater informs people. It does not replace an independent low-oxygen alarm, nor local codes for electricity',
    'near water, generators (carbon monoxide) and heaters.',
    '',
  ]
  return `${lines.join('\n')}\n`
}

/** A line for a shell that reaches the first probe of the configuration. */
function publishLine(broker: string, settings: LoadedFarm['settings'], plan: LoadedFarm['plan']): string {
  const { hostname, port } = new URL(broker)
  const probe = settings.probes.find((one) => one.format !== 'senml' && one.words !== true)
  const tank = [...plan.places.values()].find((place) => place.fish !== null)?.id ?? 'tank-1'
  const topic = (probe?.topic ?? `${plan.farm.id}/{place}/{quantity}`)
    .replace('{place}', tank)
    .replace('{quantity}', 'dissolved_oxygen')
  const payload = probe?.value === undefined ? '6.4' : pointed(probe.value, 6.4)
  return `mosquitto_pub -h ${hostname} -p ${port === '' ? '1883' : port} -q 1 -t ${topic} -m '${payload}'`
}

/** The smallest JSON document in which the pointer finds the value (RFC 6901). */
function pointed(pointer: string, value: number): string {
  const names = pointer
    .split('/')
    .slice(1)
    .map((name) => name.replaceAll('~1', '/').replaceAll('~0', '~'))
  return JSON.stringify(names.reduceRight<unknown>((inner, name) => ({ [name]: inner }), value))
}
