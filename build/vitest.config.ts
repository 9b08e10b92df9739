import { defineConfig } from 'vitest/config';

const root = `${import.meta.dirname}/..`;
const shared = {
  root,
  testTimeout: 30_000,
  // See tests/e2e/virtual-interface.ts.
  retry: { count: 1, condition: /PulseAudio ended by itself/ },
};

/** Sound servers, serial lines, disks and killed programs: what they measure in seconds another test must not disturb. */
const REAL_TIME = [
  'tests/native/portaudio.test.ts',
  'tests/native/speed/**/*.test.ts',
  'tests/recording/**/*.test.ts',
  'tests/db/power.test.ts',
  'tests/faults/**/*.test.ts',
];

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
          exclude: ['tests/e2e/**', ...REAL_TIME],
          sequence: { groupOrder: 0 },
        },
      },
      {
        test: {
          ...shared,
          name: 'real time',
          include: REAL_TIME,
          fileParallelism: false,
          sequence: { groupOrder: 1 },
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
          sequence: { groupOrder: 2 },
        },
      },
    ],
  },
});
