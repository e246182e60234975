import { z } from 'zod'

export const practice = z.strictObject({
  enabled: z.boolean().default(false).describe('A simulated greenhouse publishes like real probes.'),
  speed: z
    .number()
    .positive()
    .max(3600)
    .default(1)
    .describe('How many times faster than real its physics run.'),
  seed: z
    .int()
    .min(0)
    .max(2 ** 31)
    .default(1)
    .describe('The same seed gives the same weather, noise and mishaps.'),
  stage: z
    .enum(['off', 'first_outage'])
    .default('off')
    .describe(
      'first_outage: a minute or so after the start the mains fails, so that the first alarm can be seen; later mishaps follow.',
    ),
  topics: z
    .string()
    .regex(/^[^+#]*\{place\}\/\{quantity\}$/)
    .default('larkfield/{place}/{quantity}')
    .describe('Where it publishes.'),
})

export type PracticeSettings = z.output<typeof practice>
