import { defineConfig } from 'vitest/config'

/** One project per tier: `npx vitest --project unit` is the inner loop. */
const tier = (name: string, include: string[], exclude: string[] = [], timeout = 10_000) => ({
  extends: true as const,
  test: { name, include, exclude, testTimeout: timeout, hookTimeout: timeout },
})

export default defineConfig({
  test: {
    projects: [
      tier(
        'unit',
        ['tests/**/*.test.{ts,tsx}'],
        ['**/*.{property,integration}.test.ts', 'tests/{scenarios,end-to-end}/**'],
      ),
      tier('property', ['tests/**/*.property.test.ts'], [], 60_000),
      tier('integration', ['tests/**/*.integration.test.ts'], ['tests/end-to-end/**'], 60_000),
      tier('scenarios', ['tests/scenarios/**/*.test.ts'], [], 60_000),
      tier('end-to-end', ['tests/end-to-end/**/*.test.ts'], [], 240_000),
    ],
  },
})
