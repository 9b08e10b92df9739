import type { BundleChannel } from '../../../shared/bundle/visit.ts';
import type { FormError } from '../../i18n/form-errors.ts';
import type { RigChannel } from '../../store/rig.ts';

/** The position of a pickup that sits somewhere nobody has named; never comparable with another visit. */
export const UNPLACED = 'unplaced';

export interface RigFault {
  channel: number;
  field: 'fullScale' | 'pulses';
  error: FormError;
}

const positive = (text: string): number | null => {
  const value = Number(text.trim().replace(',', '.'));
  return Number.isFinite(value) && value > 0 ? value : null;
};

/** The channels as the main side takes them, and what in them cannot be used. Unused inputs are left out. */
export function rigChannels(rig: readonly RigChannel[]): { channels: BundleChannel[]; faults: RigFault[] } {
  const channels: BundleChannel[] = [];
  const faults: RigFault[] = [];
  for (const { channel, use, position, fullScale, shaft, pulses } of rig) {
    if (use === 'none') continue;
    if (use === 'tacho') {
      const pulsesPerRev = positive(pulses);
      if (pulsesPerRev === null) faults.push({ channel, field: 'pulses', error: 'positive' });
      else channels.push({ channel, role: 'tacho', shaft: shaft.trim() || 'propshaft', pulsesPerRev });
      continue;
    }
    const known = fullScale.trim() === '' ? null : positive(fullScale);
    if (known === null && fullScale.trim() !== '')
      faults.push({ channel, field: 'fullScale', error: 'positive' });
    channels.push({
      channel,
      role: 'vibration',
      position: position.trim() || UNPLACED,
      fullScale_m_s2: known,
    });
  }
  return { channels, faults };
}
