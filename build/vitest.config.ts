import { defineConfig } from 'vitest/config';

const root = `${import.meta.dirname}/..`;
const shared = { root, testTimeout: 30_000 };

export default defineConfig({
  root,
  test: {
    // Two cores: more workers only make timing-sensitive tests lie.
    maxWorkers: 2,
    // The file is what .ci/run counts from.
    reporters: ['default', ['json', { outputFile: 'build/out/test-report.json' }]],
    projects: [
      {
        test: {
          ...shared,
          name: 'parts',
          include: ['tests/**/*.test.{ts,tsx}'],
          exclude: ['tests/e2e/**'],
          sequence: { groupOrder: 0 },
        },
      },
      {
        test: {
          ...shared,
          name: 'program',
          include: ['tests/e2e/**/*.test.ts'],
          // One running program at a time, and one build of it.
          fileParallelism: false,
          expect: { poll: { timeout: 10_000 } },
          sequence: { groupOrder: 1 },
        },
      },
    ],
  },
});
