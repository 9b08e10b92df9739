/**
 * Measures this machine and prints one JSON object: figures to report, no test that passes or fails.
 * node build/bench/main.ts [--quick] [PART ...], which is what `npm run -s cli -- bench` starts.
 */

export interface Extent {
  /** Length of the recording that is analysed offline. */
  seconds: number;
  /** Vehicles in the large garage. */
  vehicles: number;
}

/** The figures that are quoted, and a short look for CI. */
const FULL: Extent = { seconds: 600, vehicles: 10_000 };
const QUICK: Extent = { seconds: 20, vehicles: 300 };

/** Each part is loaded only when it is asked for: none slows another down merely by being there. */
const PARTS: Record<string, (extent: Extent) => Promise<unknown>> = {
  live: async ({ seconds }) => (await import('./live.ts')).benchLive(Math.min(30, seconds)),
  visitAnalysis: async ({ seconds }) =>
    (await import('./visit-analysis.ts')).benchVisitAnalysis(Math.min(30, seconds)),
  offlineAnalysis: async ({ seconds }) => (await import('./offline.ts')).benchOffline(seconds),
  realFft: async () => (await import('./fft.ts')).benchFft(),
  garage: async ({ vehicles }) =>
    (await import('./garage.ts')).benchGarage({ vehicles, visitsPerVehicle: 20 }),
  start: async ({ vehicles }) => (await import('./start.ts')).benchStart({ vehicles, visitsPerVehicle: 20 }),
};

const asked = process.argv.slice(2);
const extent = asked.includes('--quick') ? QUICK : FULL;
const named = asked.filter((argument) => argument !== '--quick');
const unknown = named.find((name) => !Object.hasOwn(PARTS, name));
if (unknown !== undefined) {
  process.stderr.write(
    `bench: there is no part "${unknown}"; the parts are ${Object.keys(PARTS).join(', ')}.\n`,
  );
  process.exit(2);
}
const figures: Record<string, unknown> = {};
for (const name of named.length > 0 ? named : Object.keys(PARTS)) {
  process.stderr.write(`measuring ${name} …\n`);
  figures[name] = await PARTS[name]!(extent);
}
process.stdout.write(JSON.stringify(figures));
