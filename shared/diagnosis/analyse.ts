import type { Position, Source } from '../driveline/words.ts';
import { loadSingleFft } from '../dsp/fft-single.ts';
import { median } from '../dsp/levels.ts';
import { FAULT_SENTENCES, isLeftOut } from './channels.ts';
import { convincing } from './convincing.ts';
import { drawnLines, drawnSpectra } from './drawn-spectra.ts';
import { evidenceFor } from './explain.ts';
import { type VisitFeatures, visitFeatures } from './features.ts';
import type { ChannelFinding, Evidence, Findings } from './findings.ts';
import { type ChannelMeasure, measureRun } from './measure-run.ts';
import { nextPlacements } from './next-placement.ts';
import { type Posterior, type PriorKnowledge, posterior } from './posterior.ts';
import { digestRun } from './run-digest.ts';
import { runSpeed } from './speed.ts';
import { usableStretches } from './stretches.ts';
import { type VerdictReason, verdictOf } from './verdict.ts';
import type { AnalysisHooks, SamplesProvider, VisitToAnalyse } from './visit-input.ts';
import { listOf, partName } from './words-for.ts';

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

/** Sources less probable than this get no sentences. */
const WORTH_EXPLAINING = 0.02;

/**
 * Names the source of a visit's noise, or says where to clamp next.
 * @param visit a parsed visit bundle
 * @param provider opens each run's recording; runs whose recording cannot be had are left out with a notice
 * @throws AbortError when cancelled
 */
export async function analyseVisit(
  visit: VisitToAnalyse,
  provider: SamplesProvider,
  hooks: AnalysisHooks = {},
): Promise<Findings> {
  return findingsOf(visit, await measureVisit(visit, provider, hooks));
}

/** Judges what was measured; see `analyseVisit`. */
export function findingsOf(visit: VisitToAnalyse, measures: VisitMeasures): Findings {
  const known = priorKnowledge(visit);
  const after = posterior(measures.features.families, known);
  const doubts = recordingDoubts(visit, measures, after);
  const reason = verdictOf(after.probabilities, after.net, measures.positions, doubts.length > 0);
  const ranked = [...after.probabilities].sort((a, b) => b[1] - a[1]);
  const first = ranked[0]![0];
  const settled = reason.verdict === 'pinpointed' || reason.verdict === 'nothingAbnormal';
  const pickups = Math.max(
    1,
    ...visit.runs.map((r) => r.channels.filter((c) => c.role === 'vibration').length),
  );
  const gear = visit.runs.flatMap((r) => r.segments.map((s) => s.gearRatio ?? null)).find((g) => g !== null);
  return {
    verdict: reason.verdict,
    sources: ranked.map(([source, probability]) => ({
      source,
      probability,
      evidence: [
        ...(probability >= WORTH_EXPLAINING ? evidenceFor(source, after, measures.features) : []),
        ...(source === first ? ruleEvidence(reason, source) : []),
      ],
    })),
    nextPlacement: settled ? [] : nextPlacements(after, known, pickups, measures.positions),
    channels: [...measures.channelFindings],
    speedCorrection: measures.speedCorrection,
    summary: summaryOf(reason, ranked),
    notices: [...measures.notices, ...doubts],
    convincing: convincing(first, after, measures.features),
    spectra: drawnSpectra(measures.channels),
    lines: drawnLines(visit.vehicle, gear ?? null),
  };
}

function ruleEvidence({ withheld }: VerdictReason, source: Source): Evidence[] {
  const text = {
    noPickupOnPart: `No pickup has been on the ${partName(source)} yet, so it is not settled.`,
    axleBetweenNotHeard: `The axle between the hubs has not been heard first hand: the ${partName(source)} may only be passing its noise on.`,
    doubtfulRecording: 'The recording itself is in doubt, so nothing is settled by it.',
  };
  return withheld ? [{ kind: 'rule', position: null, value: 0, unit: '', text: text[withheld] }] : [];
}

function summaryOf({ verdict, set }: VerdictReason, ranked: readonly (readonly [Source, number])[]): string {
  const [first, p] = ranked[0]!;
  const percent = `${(100 * Math.min(p, 0.999)).toFixed(p > 0.99 ? 1 : 0)} %`;
  switch (verdict) {
    case 'pinpointed':
      return `The ${partName(first)} makes the noise (${percent}).`;
    case 'nothingAbnormal':
      return `Nothing abnormal was heard (${percent}).`;
    case 'narrowed':
      return set.length === 1
        ? `Most likely the ${partName(first)} (${percent}), but it is not settled yet.`
        : `It is one of ${set.length}: ${listOf(
            set.map((s) => `the ${partName(s)}`),
            'or',
          )}.`;
    case 'notYet':
      return 'It cannot be said yet: clamp the pickups as proposed and drive again.';
  }
}

/** Reasons to doubt that the recording is what visit.json says it is. */
function recordingDoubts(visit: VisitToAnalyse, measures: VisitMeasures, after: Posterior): string[] {
  void visit;
  void measures;
  void after;
  return [];
}

export function judge(visit: VisitToAnalyse, measures: VisitMeasures): Posterior {
  return posterior(measures.features.families, priorKnowledge(visit));
}
