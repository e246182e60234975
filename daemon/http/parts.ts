import type {
  FastifyBaseLogger,
  FastifyInstance,
  RawReplyDefaultExpression,
  RawRequestDefaultExpression,
  RawServerDefault,
} from 'fastify'
import type { ZodTypeProvider } from 'fastify-type-provider-zod'
import type { FarmPlan } from '../farm/plan.js'
import type { Clock } from '../ports/clock.js'
import type { WatchDoor } from '../ports/door.js'
import type { History } from '../ports/history.js'
import type { Log } from '../ports/log.js'
import type { Past } from '../ports/past.js'
import type { Access, Sessions } from './access/session.js'
import type { Gate } from './access/gate.js'
import type { AnswerLinks } from './answer-links.js'
import type { Stage } from './contract.js'
import type { Feed } from './feed.js'
import type { WebOptions } from './options.js'

/** What the assembly hands to the server. */
export interface ServerParts {
  readonly options: WebOptions
  readonly door: WatchDoor
  readonly history: History
  readonly past: Past
  readonly access: Access
  readonly clock: Clock
  readonly log: Log
  /** The plan in force: it changes with the configuration. */
  readonly plan: () => FarmPlan
  /** What the practice greenhouse says on top of the page; null when the farm is real. */
  readonly stage: () => Stage | null
  /** What still keeps the watch from doing its duty, in words; empty when it is ready. */
  readonly unready: () => readonly string[]
}

/** What routes work with: the same, and what the server made of it. */
export interface RouteParts extends ServerParts {
  readonly gate: Gate
  readonly sessions: Sessions
  readonly feed: Feed
  readonly links: AnswerLinks
}

export type App = FastifyInstance<
  RawServerDefault,
  RawRequestDefaultExpression,
  RawReplyDefaultExpression,
  FastifyBaseLogger,
  ZodTypeProvider
>
