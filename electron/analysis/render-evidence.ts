import type { EvidenceSound } from '../../shared/contract/findings-requests.ts';
import {
  atOneGain,
  type EvidenceCut,
  evidenceCut,
  evidenceWaveform,
  meanFrequency,
} from '../../shared/diagnosis/evidence-sound.ts';
import type { Convincing } from '../../shared/diagnosis/findings.ts';
import { digestRun } from '../../shared/diagnosis/run-digest.ts';
import { type RunSpeed, runSpeed } from '../../shared/diagnosis/speed.ts';
import { type Stretch, usableStretches } from '../../shared/diagnosis/stretches.ts';
import type { RunSamples, RunToAnalyse, VisitToAnalyse } from '../../shared/diagnosis/visit-input.ts';
import { loadSingleFft } from '../../shared/dsp/fft-single.ts';
import { rms } from '../../shared/dsp/levels.ts';
import { turnsAtSamples } from '../../shared/dsp/speed-motion.ts';
import { writePassing } from '../live/passing-recording.ts';
import type { Progress } from './tasks.ts';
import { wavSamples } from './wav-samples.ts';

/** Longer loops tell the ear no more, and shorter ones repeat before it has listened. */
const LONGEST_S = 12;

export interface RenderEvidenceInput {
  readonly visit: VisitToAnalyse;
  readonly convincing: Convincing;
  /** As the findings have it; null where no run has told it. */
  readonly speedCorrection: number | null;
  /** The recording of the run in which the evidence was heard. */
  readonly path: string;
}

export interface RenderedEvidence {
  /** A passing recording: channel 1 the loud place, channel 2 the quiet one. */
  readonly path: string;
  readonly sound: EvidenceSound;
}

interface Cut {
  readonly stretch: Stretch;
  readonly samples: readonly Float32Array[];
  readonly cut: EvidenceCut;
  readonly loud: Float64Array;
}

/**
 * Cuts the evidence out of the run's recording at its loud and its quiet place, in the stretch where it is
 * strongest. Null where it cannot be cut out, such as an order of a run without speed.
 */
export async function renderEvidence(
  { visit, convincing, speedCorrection, path }: RenderEvidenceInput,
  progress: Progress,
): Promise<RenderedEvidence | null> {
  await loadSingleFft();
  const run = visit.runs[convincing.loud.run - 1]!;
  const recording = await wavSamples(path);
  try {
    const rate = recording.sampleRate_Hz;
    const speed = await speedOfRun(visit, run, recording, convincing, speedCorrection);
    progress(0.5);
    const places = [convincing.loud, convincing.quiet].map(({ channel }) => ({
      index: channel - 1,
      fullScale: run.channels.find((c) => c.channel === channel),
    }));
    const { stretches } = usableStretches(visit.vehicle, run, recording.frames / rate, speed);
    let best: Cut | null = null;
    for (const stretch of stretches.map(shortened)) {
      const samples = await readStretch(
        recording,
        stretch,
        places.map((p) => p.index),
      );
      const turns = speed.motion && turnsAtSamples(speed.motion, stretch.from_s, rate, samples[0]!.length);
      const cut =
        samples[0]!.length > 0 ? evidenceCut(convincing, turns, speed.grade !== 'rough', rate) : null;
      if (!cut) continue;
      const loud = evidenceWaveform(samples[0]!, rate, cut);
      if (!best || rms(loud) > rms(best.loud)) best = { stretch, samples, cut, loud };
    }
    if (!best) return null;
    const { stretch, samples, cut, loud } = best;
    const quiet = evidenceWaveform(samples[1]!, rate, cut);
    const scales = places.map(({ fullScale: c }) => (c?.role === 'vibration' ? c.fullScale_m_s2 : null));
    const known = scales.every((s) => s != null);
    const inUnit = (waveform: Float64Array, scale: number | null | undefined): Float64Array =>
      known ? waveform.map((x) => x * scale!) : waveform;
    const { sounds, difference_db } = atOneGain(inUnit(loud, scales[0]), inUnit(quiet, scales[1]));
    return {
      path: await writePassing(sounds, rate),
      sound: {
        run: convincing.loud.run,
        from_s: stretch.from_s,
        to_s: stretch.to_s,
        state: stretch.state,
        frequency_Hz: cut.kind === 'order' ? meanFrequency(cut.turns, rate) : null,
        difference_db,
      },
    };
  } finally {
    await recording.close();
  }
}

/** Only an order needs the speed, and the whole recording read for it. */
async function speedOfRun(
  visit: VisitToAnalyse,
  run: RunToAnalyse,
  recording: RunSamples,
  { kind }: Convincing,
  speedCorrection: number | null,
): Promise<RunSpeed> {
  if (kind !== 'orders') return { motion: null, grade: 'rough', readingFactor: null, notice: null };
  const digest = await digestRun(run, recording);
  const alone = runSpeed(visit, run, digest);
  return alone.grade === 'sharp' || speedCorrection === null
    ? alone
    : runSpeed(visit, run, digest, speedCorrection);
}

/** The middle of a stretch: its ends are where the driving changes. */
function shortened(stretch: Stretch): Stretch {
  const middle = (stretch.from_s + stretch.to_s) / 2;
  return {
    ...stretch,
    from_s: Math.max(stretch.from_s, middle - LONGEST_S / 2),
    to_s: Math.min(stretch.to_s, middle + LONGEST_S / 2),
  };
}

async function readStretch(
  recording: RunSamples,
  { from_s, to_s }: Stretch,
  indices: readonly number[],
): Promise<Float32Array[]> {
  const first = Math.round(from_s * recording.sampleRate_Hz);
  const wanted = Math.min(recording.frames, Math.round(to_s * recording.sampleRate_Hz)) - first;
  const frames = Math.max(0, wanted);
  const planes = Array.from({ length: recording.channels }, () => new Float32Array(frames));
  const got = frames > 0 ? await recording.read(first, frames, planes) : 0;
  return indices.map((i) => planes[i]!.subarray(0, got));
}
