import { defineConfig } from 'vitest/config';

export default defineConfig({
  root: `${import.meta.dirname}/..`,
  test: {
    include: ['tests/**/*.test.ts', 'tests/**/*.test.tsx'],
    testTimeout: 30_000,
    // Two cores: more workers only make timing-sensitive tests lie.
    maxWorkers: 2,
    // The file is what .ci/run counts from.
    reporters: ['default', ['json', { outputFile: 'build/out/test-report.json' }]],
  },
});
