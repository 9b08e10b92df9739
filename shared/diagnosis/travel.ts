import type { Path } from './graph.ts';

/**
 * How noise is lost on its way over the running gear. Measured losses over a joint or bushing scatter between a
 * few dB and well over ten, and single paths stray far from any rule because of resonances (statistical energy
 * analysis expects exactly this; common practice). So the loss per hop is unknown within a wide prior, which the
 * vehicle's own healthy lines narrow, and each path has a deviation of its own on top.
 */

/** Candidate losses per hop in dB, with their weights before anything was measured. */
export const LOSS_PER_HOP_DB = [4, 7, 11, 16] as const;
export const LOSS_PRIOR = [0.25, 0.35, 0.25, 0.15] as const;

/** Bushings and joints pass low notes better than high ones. */
export const BAND_LOSS_FACTOR = { low: 0.85, mid: 1, high: 1.1, top: 1.2 } as const;
export type TravelBand = keyof typeof BAND_LOSS_FACTOR;

/** Over the body and the air some noise always arrives: no place hears less than this. */
const MOST_LOSS_DB = 45;

/**
 * Expected loss in dB of a path and its standard deviation.
 * @param perHop_db one of `LOSS_PER_HOP_DB`, before the band's factor
 */
export function travelLoss(
  path: Path,
  perHop_db: number,
  band: TravelBand,
): { loss_db: number; sd_db: number } {
  const perHop = perHop_db * BAND_LOSS_FACTOR[band];
  return {
    loss_db: Math.min(MOST_LOSS_DB, path.hops * perHop),
    sd_db: Math.hypot(1.5 + 3.5 * Math.sqrt(path.hops), path.hopsSd * perHop),
  };
}

/** Pickups are clamped anew for each placement: ±3 dB, taken as evenly spread. */
export const PLACEMENT_SD_DB = 3 / Math.sqrt(3);
