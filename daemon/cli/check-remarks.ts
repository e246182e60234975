import type { AlarmRule } from '../alarms/rule.js'
import { minutesPerWeek } from '../callout/roster.js'
import type { RosterRule } from '../callout/people.js'
import { lacksBand } from '../farm/equipment-presets.js'
import { patternOf } from '../farm/on-demand.js'
import { evidenceNames, type FarmPlan } from '../farm/plan.js'
import type { SignalName } from '../readings/signal.js'
import type { Settings } from '../settings/schema.js'

/** Alarms whose priority was set by hand without saying why: cause, consequence and response (AL-46). */
export const withoutReason = (plan: FarmPlan): readonly AlarmRule[] =>
  [...plan.alarms.values()].filter(
    (rule) =>
      rule.priorityFrom.kind === 'by-hand' &&
      (rule.cause === null || rule.consequence === null || rule.response === null),
  )

const days = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun']

/** `Fri 08:00` */
function momentInWords(minute: number): string {
  const two = (part: number): string => String(part).padStart(2, '0')
  const day = days[Math.floor(minute / 1440) % 7] ?? ''
  return `${day} ${two(Math.floor(minute / 60) % 24)}:${two(minute % 60)}`
}

/** Parts of the week in which the roster names nobody: `Fri 08:00 to Mon 20:00`. Empty when it covers the week. */
export function rosterGaps(roster: readonly RosterRule[]): readonly string[] {
  if (roster.length === 0) return ['the whole week']
  if (roster.some(({ from, to }) => from === to)) return []
  // A turn over the end of the week is two pieces.
  const pieces = roster
    .flatMap(({ from, to }) =>
      from < to
        ? [[from, to]]
        : [
            [from, minutesPerWeek],
            [0, to],
          ],
    )
    .map(([from = 0, to = 0]) => ({ from, to }))
    .sort((a, b) => a.from - b.from)
  const gaps: { from: number; to: number }[] = []
  let covered = 0
  for (const { from, to } of pieces) {
    if (from > covered) gaps.push({ from: covered, to: from })
    covered = Math.max(covered, to)
  }
  if (covered < minutesPerWeek) gaps.push({ from: covered, to: minutesPerWeek })
  return joinedOverSunday(gaps).map(({ from, to }) => `${momentInWords(from)} to ${momentInWords(to)}`)
}

/** A gap that ends the week and one that begins it are one gap to those who sleep through it. */
function joinedOverSunday(
  gaps: readonly { from: number; to: number }[],
): readonly { from: number; to: number }[] {
  const first = gaps[0]
  const last = gaps.at(-1)
  if (first === undefined || last === undefined || gaps.length === 1) return gaps
  if (first.from !== 0 || last.to !== minutesPerWeek) return gaps
  return [...gaps.slice(1, -1), { from: last.from, to: first.to }]
}

/** What is legal and yet leaves the night less safe than the keeper may think. One sentence each. */
export function remarksOn(settings: Settings, plan: FarmPlan): readonly string[] {
  return [
    ...undelivered(plan),
    ...withoutBand(plan),
    ...rosterGaps(plan.roster).map((gap) => `nobody is on duty ${gap}`),
    ...unreachable(plan),
    ...channelsMissing(settings, plan),
    ...brokerRemarks(settings),
    ...(settings.lookout.beat === undefined
      ? ['nothing outside notices when this machine stops: set up a lookout (lookout: beat)']
      : []),
  ]
}

function undelivered(plan: FarmPlan): readonly string[] {
  const silent = [...plan.signals.values()].filter(
    (one) => one.origin === 'evidence' && patternOf(plan.onDemand.patterns, one.signal) === null,
  )
  const watched = [...plan.alarms.values()].filter((rule) => rule.origin === 'farm').flatMap(signalsOf)
  const entered = watched.filter(
    (signal) => !plan.signals.has(signal) && patternOf(plan.onDemand.patterns, signal) === null,
  )
  return [
    ...silent.map(({ signal }) => `no probe publishes ${signal}, which is named as evidence`),
    ...[...new Set(entered)].map(
      (signal) => `no probe publishes ${signal}: its alarm speaks only to what people enter`,
    ),
  ]
}

const withoutBand = (plan: FarmPlan): readonly string[] =>
  [...plan.equipment.values()].flatMap((machine) =>
    evidenceNames
      .filter((name) => lacksBand(machine, name))
      .map(
        (name) =>
          `the ${name} of ${machine.label} tells little until its usual band is known (normal: { ${name}: … })`,
      ),
  )

function signalsOf({ condition }: AlarmRule): readonly SignalName[] {
  if (condition.kind === 'discrepancy') return [condition.commanded, condition.running]
  return 'signal' in condition ? [condition.signal] : []
}

function unreachable(plan: FarmPlan): readonly string[] {
  const used = new Set(
    [...plan.ladders.values()].flatMap(({ steps }) =>
      steps.flatMap((step) => (step.kind === 'call' ? step.by : [])),
    ),
  )
  return [...plan.people.values()]
    .filter(({ reach }) => used.size > 0 && !Object.keys(reach).some((channel) => used.has(channel)))
    .map(({ name }) => `${name} has no address on any channel of the ladders`)
}

function channelsMissing(settings: Settings, plan: FarmPlan): readonly string[] {
  const used = [...plan.ladders.values()].flatMap(({ steps }) =>
    steps.flatMap((step) => (step.kind === 'call' ? step.by : [])),
  )
  return [...new Set(used)]
    .filter((channel) => settings.channels[channel] === undefined)
    .map(
      (channel) =>
        `${channel} has no channel yet: such messages are written to the outbox folder and shown on the page`,
    )
}

const loopback = /^(localhost|127\.\d+\.\d+\.\d+|::1)$/

function brokerRemarks({ broker }: Settings): readonly string[] {
  const remarks = ['probes should publish with QoS 1: what is sent with QoS 0 during a break is gone']
  const { embedded, url } = broker
  if (
    embedded !== undefined &&
    !('password' in embedded && embedded.password !== undefined) &&
    !loopback.test(embedded.listen.host)
  ) {
    remarks.push(
      `the broker on ${embedded.listen.host} asks nobody for a password: whoever is on that network may publish`,
    )
  }
  if (url !== undefined && !loopback.test(new URL(url).hostname)) {
    if (/^(mqtt|ws):/.test(url)) remarks.push('the connection to the broker is not encrypted (mqtts:// is)')
    if (broker.password === undefined && broker.cert === undefined) {
      remarks.push('the broker is used without a password or certificate')
    }
  }
  return remarks
}
