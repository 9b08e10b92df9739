/**
 * Simulates a visit in memory and times its analysis, prints JSON: node visit-analysis-run.ts SECONDS counted|uncounted.
 * A process of its own, as the program analyses in a thread of its own: compiling the code is part of the time, and
 * the simulation shares none of it.
 */
import { randomScenario } from '../../seeds/scenarios/index.ts';
import { findingsOf, measureVisit } from '../../shared/diagnosis/analyse.ts';
import type { VisitToAnalyse } from '../../shared/diagnosis/visit-input.ts';
import { rendered } from '../evaluation/visits.ts';

const RUNS = 3;
const CHANNELS = 8;
const SAMPLE_RATE_HZ = 48_000;

const [seconds, teeth] = process.argv.slice(2);
const { bundle, provider } = rendered(
  randomScenario(3, {
    source: 'wheel-bearing-rear-left',
    layout: 'rwd',
    electricDrive: false,
    severity: 0.8,
    runs: RUNS,
    pickups: CHANNELS,
    durationS: Number(seconds),
    sampleRate_Hz: SAMPLE_RATE_HZ,
    tacho: false,
    knownGeometry: true,
    badChannelChance: 0,
  }),
);
const visit: VisitToAnalyse =
  teeth === 'uncounted' ? { ...bundle, vehicle: { ...bundle.vehicle, finalDrive: null } } : bundle;

const start = performance.now();
const before = process.cpuUsage();
const measures = await measureVisit(visit, provider);
findingsOf(visit, measures);
const elapsed_s = (performance.now() - start) / 1000;
const used = process.cpuUsage(before);
process.stdout.write(
  JSON.stringify({
    visit: { runs: RUNS, seconds: Number(seconds), channels: CHANNELS, sampleRate_Hz: SAMPLE_RATE_HZ },
    time: {
      elapsed_s,
      cpu_s: (used.user + used.system) / 1e6,
      speed: [...new Set(measures.channels.map((channel) => channel.grade))].join(),
    },
  }),
);
