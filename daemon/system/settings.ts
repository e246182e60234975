import { z } from 'zod'

export const log = z.strictObject({
  level: z
    .enum(['debug', 'info', 'warn', 'error'])
    .default('info')
    .describe('Least important line that is written to standard error.'),
})

export type LogSettings = z.output<typeof log>
