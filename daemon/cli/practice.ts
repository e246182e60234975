import { loginOf } from '../assembly/ears.js'
import type { Stage } from '../http/contract.js'
import type { Clock } from '../ports/clock.js'
import type { Log } from '../ports/log.js'
import { createGreenhouse } from '../practice/greenhouse.js'
import { larkfieldProbes, larkfieldTopics } from '../practice/larkfield-probes.js'
import { publishGreenhouse } from '../practice/publish.js'
import { openStage, type Direction } from '../practice/stage.js'
import type { Settings } from '../settings/schema.js'
import { epochMs, type EpochMs } from '../units/time.js'
import type { Terminal } from './verb.js'

/** The practice greenhouse beside a watch, and what is said about it. */
export interface Practice {
  stage(): Stage | null
  close(): Promise<void>
}

export interface PracticeRequest {
  readonly settings: Settings
  readonly broker: string
  readonly clock: Clock
  readonly log: Log
  readonly terminal: Terminal
}

const opening: Stage = {
  says: 'This is the practice greenhouse: a simulated farm, no real fish. In about a minute something will fail.',
  tryThis: 'Look around; every number has its age. Then wait for the first text.',
}

/** Lets the simulated farm publish to the watch's own broker, as real probes would; its mishaps are told as they happen. */
export function openPractice({ settings, broker, clock, log, terminal }: PracticeRequest): Practice {
  const { practice } = settings
  const start = clock.now()
  const play =
    practice.stage === 'first_outage'
      ? openStage({ seed: practice.seed, opensAt: start, speed: practice.speed })
      : null
  const greenhouse = createGreenhouse({
    seed: practice.seed,
    start,
    ...(play === null ? {} : { mishaps: play.mishaps }),
    options: { probes: larkfieldProbes(larkfieldTopics) },
  })
  const login = loginOf(settings.broker.embedded)
  const publisher = publishGreenhouse({
    greenhouse,
    clock,
    log: log.child({ room: 'practice' }),
    broker: {
      url: broker,
      clientId: 'bellwater-practice',
      ...(login === null ? {} : { username: login.username, password: login.password.reveal() }),
    },
  })
  let shown: Stage | null = play === null ? null : opening
  let heard: EpochMs = start
  const say = ({ says, tryThis }: Direction): void => {
    shown = { says, tryThis }
    terminal.out(`\n* ${says}\n  ${tryThis}\n`)
  }
  const prompter = clock.alarmClock(() => {
    if (play === null) return
    const until = epochMs(clock.now() + 1)
    for (const direction of play.directions(heard, until)) say(direction)
    heard = until
    prompter.setFor(play.nextDirectionAt(until))
  })
  if (play !== null) prompter.setFor(play.nextDirectionAt(start))
  return {
    stage: () => shown,
    close: async () => {
      prompter.close()
      await publisher.stop()
    },
  }
}
