import type { Ladder, LadderStep, Person, RosterRule, StepTarget } from '../callout/people.js'
import type { LadderSettings, PersonSettings, Settings } from '../settings/schema.js'
import type { HouseRules } from './plan.js'

/** Who can be called, as the call-out knows them. */
export const resolvePeople = (written: readonly PersonSettings[]): ReadonlyMap<string, Person> =>
  new Map(written.map(({ id, name, language, reach }) => [id, { id, name, language, reach }] as const))

/** Who is on duty when; without a roster everyone always is (a turn from a moment to itself is the whole week). */
export const rosterOf = ({ roster, people }: Settings): readonly RosterRule[] =>
  roster.length === 0 && people.length > 0 ? [{ from: 0, to: 0, who: people.map(({ id }) => id) }] : roster

/** Whom to call in which order. */
export const resolveLadders = (written: Settings['ladders']): ReadonlyMap<string, Ladder> =>
  new Map(
    Object.entries(written).map(([name, ladder]) => [
      name,
      {
        name,
        steps: ladder.steps.map(stepOf),
        repeat: ladder.repeat,
        reAlarm: ladder.re_alarm ?? null,
      },
    ]),
  )

const stepOf = (step: LadderSettings['steps'][number]): LadderStep =>
  'call' in step
    ? { kind: 'call', after: step.after, target: targetOf(step.call), by: step.by }
    : { kind: 'switch-on', after: step.after, channel: step.switch_on }

function targetOf(call: string): StepTarget {
  if (call === 'on-duty' || call === 'everyone') return { kind: call }
  return { kind: 'person', person: call }
}

/** The farm-wide rules of alarming in the plan's words. */
export function houseRules(settings: Settings): HouseRules {
  const { shelving, chattering, flood, day, system } = settings
  return {
    shelving: { maximum: shelving.maximum, lifeSupportMaximum: shelving.life_support_maximum },
    chattering:
      chattering === 'off'
        ? null
        : {
            activations: chattering.activations,
            within: chattering.within,
            overAfter: chattering.over_after,
          },
    flood:
      flood === 'off'
        ? null
        : {
            startAbove: flood.start_above,
            endBelow: flood.end_below,
            window: flood.window,
            digestEvery: flood.digest_every,
          },
    day,
    system: {
      ladder: system.ladder ?? null,
      followUpDelay: system.follow_up_delay,
      interruptionToldAfter: system.interruption_told_after,
      priority: system.priority,
    },
  }
}
