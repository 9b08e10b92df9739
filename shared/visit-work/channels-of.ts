import type { BundleChannel } from '../bundle/visit.ts';
import type { Rigging } from './rigging.ts';
import { fullScaleOf, type Settings } from './settings.ts';

/**
 * The placements in the form that the live session and a bundle have them. A pickup whose sensitivity is not known,
 * or that is said to be relative, has no full scale: its levels are ratios.
 */
export function channelsOf(rigging: Rigging, settings: Settings): BundleChannel[] {
  const vibration = rigging.channels.map(({ channel, position, pickup, relative }) => {
    const known = relative ? null : fullScaleOf(settings, rigging.interfaceName, channel, pickup);
    return {
      channel,
      role: 'vibration' as const,
      position,
      fullScale_m_s2: known?.fullScale_m_s2 ?? null,
      ...(pickup !== null && { pickup }),
    };
  });
  const tachos = rigging.tachos.map((t) => ({ ...t, role: 'tacho' as const }));
  return [...vibration, ...tachos].sort((a, b) => a.channel - b.channel);
}
