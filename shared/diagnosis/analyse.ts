import type { Position } from '../driveline/words.ts';
import { loadSingleFft } from '../dsp/fft-single.ts';
import { median } from '../dsp/levels.ts';
import { FAULT_SENTENCES, isLeftOut } from './channels.ts';
import { type VisitFeatures, visitFeatures } from './features.ts';
import type { ChannelFinding } from './findings.ts';
import { type ChannelMeasure, measureRun } from './measure-run.ts';
import { type Posterior, type PriorKnowledge, posterior } from './posterior.ts';
import { digestRun } from './run-digest.ts';
import { runSpeed } from './speed.ts';
import { usableStretches } from './stretches.ts';
import type { AnalysisHooks, SamplesProvider, VisitToAnalyse } from './visit-input.ts';

/** Everything that was measured in a visit, before any judgement. */
export type VisitMeasures = {
  readonly channels: readonly ChannelMeasure[];
  readonly channelFindings: readonly ChannelFinding[];
  readonly features: VisitFeatures;
  /** Places where a sound pickup has been. */
  readonly positions: readonly Position[];
  readonly speedCorrection: number | null;
  readonly notices: readonly string[];
};

/**
 * Reads all recordings of a visit and measures them. A run whose recording cannot be had is left out with a notice.
 * @throws AbortError when cancelled
 */
export async function measureVisit(
  visit: VisitToAnalyse,
  provider: SamplesProvider,
  hooks: AnalysisHooks = {},
): Promise<VisitMeasures> {
  await loadSingleFft();
  const channels: ChannelMeasure[] = [];
  const channelFindings: ChannelFinding[] = [];
  const notices: string[] = [];
  const factors: number[] = [];
  let sharp = true;
  for (const [index, run] of visit.runs.entries()) {
    const name = `Run ${index + 1} (${run.file})`;
    hooks.signal?.throwIfAborted();
    const share = (done: number): number => (index + done) / visit.runs.length;
    try {
      const samples = await provider(index);
      try {
        const digest = await digestRun(run, samples, {
          ...hooks,
          onProgress: (done) => hooks.onProgress?.(share(0.6 * done), `reading ${run.file}`),
        });
        const speed = runSpeed(visit, run, digest);
        hooks.onProgress?.(share(0.8), `measuring ${run.file}`);
        if (!speed.sharp) sharp = false;
        if (speed.readingFactor !== null) factors.push(speed.readingFactor);
        if (speed.notice) notices.push(`${name}: ${speed.notice}.`);
        const { stretches, notices: more } = usableStretches(run, digest.seconds, speed);
        notices.push(...more.map((n) => `${name}: ${n}.`));
        for (const c of digest.channels) {
          channelFindings.push({
            run: index + 1,
            channel: c.channel,
            position: c.position,
            rms_m_s2: c.fullScale_m_s2 === null ? null : c.statistics.rms * c.fullScale_m_s2,
            faults: [...c.faults],
          });
          for (const fault of c.faults) {
            const left = isLeftOut([fault]) ? ' It was left out.' : '';
            notices.push(`${name}: channel ${c.channel} at ${c.position} ${FAULT_SENTENCES[fault]}.${left}`);
          }
        }
        channels.push(...measureRun(index, digest, speed, stretches));
      } finally {
        await samples.close();
      }
    } catch (cause) {
      if (hooks.signal?.aborted) throw cause;
      notices.push(`${name} was left out: ${(cause as Error).message}`);
    }
  }
  hooks.onProgress?.(1, 'weighing the evidence');
  return {
    channels,
    channelFindings,
    features: visitFeatures(visit.vehicle, channels, sharp),
    positions: [...new Set(channels.map((c) => c.position))],
    speedCorrection: factors.length > 0 ? median(factors) : null,
    notices,
  };
}

export function priorKnowledge(visit: VisitToAnalyse): PriorKnowledge {
  const { vehicle } = visit;
  const teeth = vehicle.finalDrive;
  const needed =
    vehicle.layout === 'awd'
      ? [teeth?.front, teeth?.rear]
      : [vehicle.layout === 'fwd' ? teeth?.front : teeth?.rear];
  return {
    layout: vehicle.layout,
    electricDrive: vehicle.electricDrive === true,
    odometer_km: vehicle.odometer_km ?? null,
    complaint: typeof visit.complaint === 'string' ? visit.complaint : null,
    unknown: {
      bearingGeometry: !vehicle.wheelBearing,
      teeth: needed.some((pair) => !pair),
      engineSpeed: visit.runs.every((r) => r.segments.every((s) => !s.gearRatio)),
    },
  };
}

export function judge(visit: VisitToAnalyse, measures: VisitMeasures): Posterior {
  return posterior(measures.features.families, priorKnowledge(visit));
}
