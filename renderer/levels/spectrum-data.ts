import type uPlot from 'uplot';
import type { LevelScale } from './scale.ts';

export interface Lines {
  first: number;
  step: number;
  rms: readonly number[];
}

/** A spectrum as the chart takes it: places on the axis and shown values; silence is a gap on a log scale. */
export function spectrumData(
  lines: Lines,
  scale: LevelScale,
  fullScale_m_s2: number | null,
): uPlot.AlignedData {
  const across = new Float64Array(lines.rms.length);
  const values = new Array<number | null>(lines.rms.length);
  for (let i = 0; i < lines.rms.length; i++) {
    across[i] = lines.first + i * lines.step;
    values[i] = lines.rms[i]! > 0 ? scale.value(lines.rms[i]!, fullScale_m_s2) : null;
  }
  return [across, values];
}
