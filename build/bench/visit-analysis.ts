import path from 'node:path';
import { runJson } from './run-json.ts';

interface AnalysisTime {
  /** On the clock, from the first sample read (out of memory, not from disk) to the findings. */
  elapsed_s: number;
  /** Of all threads, the compiler's too: what a single core would take, and what a busy machine falsifies less. */
  cpu_s: number;
  /** How well the speed was found; see `SpeedGrade`. */
  speed: string;
}

export interface VisitAnalysisBenchmark {
  visit: { runs: number; seconds: number; channels: number; sampleRate_Hz: number };
  /** The gears' teeth are known, so the speed is found from lines at known orders. */
  teethCounted: AnalysisTime;
  /** The worst case: the lines that tell the speed have to be found first. */
  teethUncounted: AnalysisTime;
}

/** Times the analysis of a whole visit, from samples in memory to findings. @param seconds length of each run */
export function benchVisitAnalysis(seconds = 30): VisitAnalysisBenchmark {
  const time = (teeth: 'counted' | 'uncounted') =>
    runJson(process.execPath, [
      path.join(import.meta.dirname, 'visit-analysis-run.ts'),
      String(seconds),
      teeth,
    ]) as unknown as { visit: VisitAnalysisBenchmark['visit']; time: AnalysisTime };
  const counted = time('counted');
  return { visit: counted.visit, teethCounted: counted.time, teethUncounted: time('uncounted').time };
}
