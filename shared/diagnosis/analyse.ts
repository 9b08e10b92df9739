import { usableWheelBearing } from '../driveline/bearing.ts';
import type { Position, Source } from '../driveline/words.ts';
import { loadSingleFft } from '../dsp/fft-single.ts';
import { median } from '../dsp/levels.ts';
import { type Message, message } from '../messages/message.ts';
import { toldOf } from '../messages/told-error.ts';
import { isLeftOut } from './channel-faults.ts';
import { convincing } from './convincing.ts';
import { runsWithEngineHeard, withCrankHeard } from './crank-heard.ts';
import { recordingDoubts } from './doubts.ts';
import { drawnLines, drawnSpectra } from './drawn-spectra.ts';
import { evidenceFor } from './explain.ts';
import { hasOneMesh } from './family-lines.ts';
import { type VisitFeatures, visitFeatures } from './features.ts';
import type { ChannelFinding, Evidence, Findings } from './findings.ts';
import { type HeardTogether, heardTogether } from './heard-together.ts';
import { type InspectionFindings, inspectionEvidence, withInspection } from './inspection.ts';
import { placesLouderThan } from './loudest.ts';
import { type ChannelMeasure, measureRun } from './measure-run.ts';
import { nextPlacements } from './next-placement.ts';
import type { PriorKnowledge } from './posterior.ts';
import { digestRun, type RunDigest } from './run-digest.ts';
import { type RunSpeed, runSpeed } from './speed.ts';
import { usableStretches } from './stretches.ts';
import { type Tone, tones } from './tones.ts';
import { type VerdictReason, verdictOf } from './verdict.ts';
import type { AnalysisHooks, SamplesProvider, VisitToAnalyse } from './visit-input.ts';
import { weigh } from './weigh.ts';

/** Everything that was measured in a visit, before any judgement. */
export type VisitMeasures = {
  readonly channels: readonly ChannelMeasure[];
  readonly together: readonly HeardTogether[];
  readonly tones: readonly Tone[];
  readonly channelFindings: readonly ChannelFinding[];
  readonly features: VisitFeatures;
  /** Places where a sound pickup has been. */
  readonly positions: readonly Position[];
  readonly speedCorrection: number | null;
  readonly notices: readonly Message[];
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
  const notices: Message[] = [];
  const digests: { index: number; digest: RunDigest }[] = [];
  const nameOf = (index: number) => ({ run: index + 1, file: visit.runs[index]!.file });
  for (const [index, run] of visit.runs.entries()) {
    hooks.signal?.throwIfAborted();
    try {
      const samples = await provider(index);
      try {
        const onProgress = (done: number) =>
          hooks.onProgress?.((0.6 * (index + done)) / visit.runs.length, `reading ${run.file}`);
        digests.push({ index, digest: await digestRun(run, samples, { ...hooks, onProgress }) });
      } finally {
        await samples.close();
      }
    } catch (cause) {
      if (hooks.signal?.aborted) throw cause;
      notices.push(message('notice.runLeftOut', { ...nameOf(index), why: toldOf(cause) }));
    }
  }
  return measuresOf(visit, digests, notices, hooks);
}

/**
 * Measures what reading the recordings has left of them; see `measureVisit`.
 * @param digests of the runs that could be read, with their place in the visit
 * @param already notices of what could not be read
 */
function measuresOf(
  visit: VisitToAnalyse,
  digests: readonly { index: number; digest: RunDigest }[],
  already: readonly Message[],
  hooks: AnalysisHooks,
): VisitMeasures {
  const notices = [...already];
  if (visit.vehicle.wheelBearing && !usableWheelBearing(visit.vehicle)) {
    notices.push(message('notice.noSuchBearing'));
  }
  const nameOf = (index: number) => ({ run: index + 1, file: visit.runs[index]!.file });
  const speeds = runSpeeds(visit, digests);
  const measured: ChannelMeasure[] = [];
  const together: HeardTogether[] = [];
  const channelFindings: ChannelFinding[] = [];
  for (const [at, { index, digest }] of digests.entries()) {
    hooks.signal?.throwIfAborted();
    hooks.onProgress?.(0.6 + (0.35 * at) / digests.length, `measuring ${visit.runs[index]!.file}`);
    const speed = speeds[at]!;
    if (speed.notice) notices.push(message('notice.ofRun', { ...nameOf(index), what: speed.notice }));
    const { stretches, notices: more } = usableStretches(
      visit.vehicle,
      visit.runs[index]!,
      digest.seconds,
      speed,
    );
    notices.push(...more.map((what) => message('notice.ofRun', { ...nameOf(index), what })));
    for (const c of digest.channels) {
      channelFindings.push({
        run: index + 1,
        channel: c.channel,
        position: c.position,
        rms_m_s2: c.fullScale_m_s2 === null ? null : c.statistics.rms * c.fullScale_m_s2,
        faults: [...c.faults],
      });
      for (const fault of c.faults) {
        const told = { ...nameOf(index), channel: c.channel, place: c.position, fault };
        notices.push(message(isLeftOut([fault]) ? 'notice.channelLeftOut' : 'notice.channel', told));
      }
    }
    measured.push(...measureRun(index, digest, speed, stretches));
    together.push(...heardTogether(index, digest, stretches));
  }
  const channels = withCrankHeard(visit.vehicle, measured);
  for (const run of runsWithEngineHeard(measured, channels)) {
    notices.push(message('notice.ofRun', { ...nameOf(run), what: message('notice.engineHeard') }));
  }
  hooks.onProgress?.(0.95, 'weighing the evidence');
  const factors = speeds.flatMap((s) => s.readingFactor ?? []);
  return {
    channels,
    together,
    tones: tones(visit.vehicle, channels),
    channelFindings,
    features: visitFeatures(visit.vehicle, channels),
    positions: [...new Set(channels.map((c) => c.position))],
    speedCorrection: factors.length > 0 ? median(factors) : null,
    notices,
  };
}

/** The speed of every run; what one run tells of the tyres helps the others. */
function runSpeeds(
  visit: VisitToAnalyse,
  digests: readonly { index: number; digest: RunDigest }[],
): RunSpeed[] {
  const alone = digests.map(({ index, digest }) => runSpeed(visit, visit.runs[index]!, digest));
  const factors = alone.flatMap((s) => s.readingFactor ?? []);
  if (factors.length === 0 || alone.every((s) => s.grade === 'sharp' || !s.motion)) return alone;
  const factor = median(factors);
  return digests.map(({ index, digest }, i) =>
    alone[i]!.grade === 'sharp' ? alone[i]! : runSpeed(visit, visit.runs[index]!, digest, factor),
  );
}

/** @param channels whose engine may have been heard */
export function priorKnowledge(visit: VisitToAnalyse, channels: readonly ChannelMeasure[]): PriorKnowledge {
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
      bearingGeometry: !usableWheelBearing(vehicle),
      teeth: needed.some((pair) => !pair),
      oneMesh: hasOneMesh(vehicle),
      engineSpeed: channels.every((c) => c.stretches.every((s) => s.stretch.shafts.crank === null)),
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

/**
 * Judges what was measured; see `analyseVisit`.
 * @param inspection what was found by hand and eye; null when nobody has looked
 */
export function findingsOf(
  visit: VisitToAnalyse,
  measures: VisitMeasures,
  inspection: InspectionFindings | null = null,
): Findings {
  const known = priorKnowledge(visit, measures.channels);
  const heard = weigh(measures, known);
  const after = inspection
    ? { ...heard, probabilities: withInspection(heard.probabilities, inspection) }
    : heard;
  const doubts = recordingDoubts(after);
  const ranked = [...after.probabilities].sort((a, b) => b[1] - a[1]);
  const first = ranked[0]![0];
  const louder = placesLouderThan(first, after);
  const reason = verdictOf(
    after.probabilities,
    after.net,
    measures.positions,
    louder.length === 0,
    doubts.length > 0,
  );
  const rule = ruleOf(reason, first, louder);
  const settled = reason.verdict === 'pinpointed' || reason.verdict === 'nothingAbnormal';
  const pickups = Math.max(
    1,
    ...visit.runs.map((r) => r.channels.filter((c) => c.role === 'vibration').length),
  );
  return {
    verdict: reason.verdict,
    sources: ranked.map(([source, probability]) => ({
      source,
      probability,
      evidence: [
        ...(probability >= WORTH_EXPLAINING ? evidenceFor(source, after, measures.features) : []),
        ...(inspection ? inspectionEvidence(inspection, source) : []),
        ...(source === first && rule ? [ruleEvidence(rule)] : []),
      ],
    })),
    nextPlacement: settled
      ? []
      : nextPlacements(
          after,
          known,
          pickups,
          placesOfRuns(measures.channels),
          reason.withheld === 'louderElsewhere' ? louder : [],
        ),
    channels: [...measures.channelFindings],
    speedCorrection: measures.speedCorrection,
    summary: summaryOf(reason, ranked, rule),
    notices: [...measures.notices, ...doubts],
    convincing: convincing(first, after, measures.features),
    spectra: drawnSpectra(measures.channels),
    lines: drawnLines(visit.vehicle, measures.channels),
  };
}

/** For each run the places of its sound pickups. */
function placesOfRuns(channels: VisitMeasures['channels']): Position[][] {
  const runs = Map.groupBy(channels, (c) => c.run);
  return [...runs.values()].map((own) => own.map((c) => c.position));
}

/** Why a source that is probable enough is not pinpointed; null where no rule forbids it. */
function ruleOf({ withheld }: VerdictReason, part: Source, louder: readonly Position[]): Message | null {
  switch (withheld) {
    case null:
      return null;
    case 'doubtfulRecording':
      return message('rule.doubtfulRecording');
    case 'louderElsewhere':
      return message('rule.louderElsewhere', { part, place: louder[0]! });
    default:
      return message(`rule.${withheld}`, { part });
  }
}

const ruleEvidence = (text: Message): Evidence => ({
  kind: 'rule',
  position: null,
  value: 0,
  unit: '',
  text,
});

/** No measurement is certain: what rounds to one is not said. */
const SUREST = 0.999;

function summaryOf(
  { verdict, set }: VerdictReason,
  ranked: readonly (readonly [Source, number])[],
  rule: Message | null,
): Message {
  const [part, p] = ranked[0]!;
  const probability = Math.min(p, SUREST);
  switch (verdict) {
    case 'pinpointed':
      return message('summary.pinpointed', { part, probability });
    case 'nothingAbnormal':
      return message('summary.nothingAbnormal', { probability });
    case 'narrowed':
      return rule
        ? message('summary.likely', { part, probability, why: rule })
        : message('summary.narrowed', { number: set.length, parts: set });
    case 'notYet':
      return message('summary.notYet');
  }
}
