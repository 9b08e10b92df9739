import type { BundleChannel } from '../../../shared/bundle/visit.ts';
import type { Caution } from '../../../shared/visit-work/cautions.ts';
import type { Rigging } from '../../../shared/visit-work/rigging.ts';
import { type FullScale, fullScaleOf, type Settings } from '../../../shared/visit-work/settings.ts';
import type { FormError } from '../../i18n/form-errors.ts';
import type { RigChannel } from '../../store/rig.ts';

/** The position of a pickup that sits somewhere nobody has named; never comparable with another visit. */
export const UNPLACED = 'unplaced';

export interface RigFault {
  channel: number;
  field: 'fullScale' | 'pulses' | 'pickup';
  error: FormError | (string & {});
}

/** What a channel's full scale follows from; null where it is typed in, or not known. */
export type KnownScale = (channel: RigChannel) => FullScale | null;

/** Full scales as the settings know them, of pickups on this interface. */
export const knownScales =
  (settings: Settings, interfaceName: string): KnownScale =>
  ({ channel, pickup }) =>
    fullScaleOf(settings, interfaceName, channel, pickup || null);

const positive = (text: string): number | null => {
  const value = Number(text.trim().replace(',', '.'));
  return Number.isFinite(value) && value > 0 ? value : null;
};

/** The channels as the main side takes them, and what in them cannot be used. Unused inputs are left out. */
export function rigChannels(
  rig: readonly RigChannel[],
  knownScale: KnownScale,
): { channels: BundleChannel[]; faults: RigFault[] } {
  const channels: BundleChannel[] = [];
  const faults: RigFault[] = [];
  for (const input of rig) {
    const { channel, use, position, fullScale, pickup, relative, shaft, pulses } = input;
    if (use === 'none') continue;
    if (use === 'tacho') {
      const pulsesPerRev = positive(pulses);
      if (pulsesPerRev === null) faults.push({ channel, field: 'pulses', error: 'positive' });
      else channels.push({ channel, role: 'tacho', shaft: shaft.trim() || 'propshaft', pulsesPerRev });
      continue;
    }
    const typed = fullScale.trim() === '' ? null : positive(fullScale);
    const known = knownScale(input)?.fullScale_m_s2 ?? null;
    if (known === null && typed === null && fullScale.trim() !== '')
      faults.push({ channel, field: 'fullScale', error: 'positive' });
    channels.push({
      channel,
      role: 'vibration',
      position: position.trim() || UNPLACED,
      fullScale_m_s2: relative ? null : (known ?? typed),
      ...(pickup !== '' && { pickup }),
    });
  }
  return { channels, faults };
}

/** What the visit keeps of the placements: the channels as they run, and what was ticked before the drive. */
export function riggingOf(
  channels: readonly BundleChannel[],
  rig: readonly RigChannel[],
  interfaceName: string | null,
  cautionsTicked: readonly Caution[],
): Rigging {
  return {
    interfaceName,
    channels: channels.flatMap((c) =>
      c.role === 'vibration'
        ? [
            {
              channel: c.channel,
              position: c.position,
              pickup: typeof c.pickup === 'string' ? c.pickup : null,
              relative: rig.find((r) => r.channel === c.channel)?.relative ?? false,
            },
          ]
        : [],
    ),
    tachos: channels.flatMap((c) =>
      c.role === 'tacho' ? [{ channel: c.channel, shaft: c.shaft, pulsesPerRev: c.pulsesPerRev }] : [],
    ),
    cautionsTicked: [...cautionsTicked],
  };
}
