import type { Colours } from '../../components/colours.ts';
import type { LevelScale } from '../../levels/scale.ts';

/** All places are 0 at the foot of the scale and 1 at its top. */
export interface BarLevels {
  rms: number;
  peak: number;
  hold: number;
  /** The level of the channel heard, drawn through every bar as a plumb line; null when nothing is heard. */
  heard: number | null;
}

/**
 * One channel's level. The heard channel's bar fills the row, the others are slim: told apart by shape, so that
 * it works in any light and for any eye.
 */
export function drawBar(
  context: CanvasRenderingContext2D,
  width: number,
  height: number,
  levels: BarLevels,
  isHeard: boolean,
  ticks: LevelScale['ticks'],
  colours: Colours,
): void {
  const thickness = isHeard ? height : Math.round(height * 0.42);
  const top = Math.round((height - thickness) / 2);
  context.clearRect(0, 0, width, height);
  context.fillStyle = colours.barTrack;
  context.fillRect(0, top, width, thickness);

  context.fillStyle = colours.lineStrong;
  for (let i = 0; i < ticks.length; i++)
    context.fillRect(Math.round(ticks[i]!.place * (width - 1)), 0, 1, height);

  context.fillStyle = isHeard ? colours.barHeard : colours.bar;
  context.fillRect(0, top, levels.rms * width, thickness);
  // From RMS to peak: a thin spine on the bar's axis.
  const spine = Math.max(2, Math.round(thickness * 0.12));
  context.fillRect(0, Math.round((height - spine) / 2), levels.peak * width, spine);

  context.fillStyle = colours.ink;
  if (levels.hold > 0) context.fillRect(Math.min(width - 3, levels.hold * width), top - 2, 3, thickness + 4);

  if (levels.heard !== null && !isHeard) {
    const x = Math.round(levels.heard * width);
    for (let y = 0; y < height; y += 7) context.fillRect(x, y, 2, 4);
  }
}
