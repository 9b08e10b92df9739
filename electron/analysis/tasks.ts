import type { Message } from '../../shared/messages/message.ts';
import { summariseRun } from '../bundles/summarise-run.ts';
import { measureRecording } from '../measures/measure-recording.ts';
import { analyseBundle } from './analyse-bundle.ts';
import { analyseRuns } from './analyse-runs.ts';
import { renderDemoRecording } from './render-demo-recording.ts';
import { renderEvidence } from './render-evidence.ts';
import { runSpectrum } from './run-spectrum.ts';

/**
 * The long computations, by name: each takes plain data and gives plain data, since both cross to a worker thread.
 * `progress` may be told a fraction from 0 to 1 at any time.
 */
export const TASKS = {
  analyseBundle,
  analyseRuns,
  measureRecording,
  renderDemoRecording,
  renderEvidence,
  runSpectrum,
  summariseRun,
};

export type TaskName = keyof typeof TASKS;
export type TaskInput<N extends TaskName> = Parameters<(typeof TASKS)[N]>[0];
export type TaskOutput<N extends TaskName> = Awaited<ReturnType<(typeof TASKS)[N]>>;
export type Progress = (fraction: number) => void;

/** What the worker says. */
export type WorkerMessage =
  | { readonly kind: 'progress'; readonly fraction: number }
  | { readonly kind: 'done'; readonly value: unknown }
  /** `told`: what it was thrown to tell the technician; null for what was not meant for him. */
  | { readonly kind: 'failed'; readonly error: unknown; readonly told: Message | null };
