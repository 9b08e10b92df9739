import { z } from 'zod';
import type { SourceChoice } from '../../shared/contract/live.ts';
import type { Slice } from './slice.ts';

export type DeviceChoice = Omit<Extract<SourceChoice, { kind: 'device' }>, 'kind'>;

/** One input of the interface as the technician fills it in; numbers stay text until they are used. */
export const RigChannelSchema = z.object({
  channel: z.number().int(),
  use: z.enum(['pickup', 'tacho', 'none']),
  /** Empty: not placed yet. */
  position: z.string(),
  fullScale: z.string(),
  /** By the name in the settings; empty: an unknown one. */
  pickup: z.string(),
  /** Said on purpose: levels of this channel are relative, whatever its pickup's data say. */
  relative: z.boolean(),
  shaft: z.string(),
  pulses: z.string(),
});
export type RigChannel = z.infer<typeof RigChannelSchema>;

export const RigSchema = z.object({
  source: z.enum(['device', 'demo']),
  device: z.object({
    name: z.string(),
    channels: z.number().int(),
    sampleRate_Hz: z.union([z.literal(44100), z.literal(48000), z.literal(96000)]),
    bits: z.union([z.literal(16), z.literal(24), z.literal(32)]),
  }),
  /** Always 32 long, so that a smaller interface in between forgets nothing. */
  channels: z.array(RigChannelSchema),
});
export type Rig = z.infer<typeof RigSchema>;

/** The rig as it was set up last; kept on this computer, because the next car is wired the same way. */
export interface RigSlice {
  rig: Rig;
  chooseSource(source: Rig['source']): void;
  chooseDevice(change: Partial<DeviceChoice>): void;
  changeChannel(channel: number, change: Partial<RigChannel>): void;
  /** Puts a pickup on a place; whatever sat there before is taken off. */
  place(channel: number, position: string): void;
  sameFullScale(fullScale: string): void;
  setPlacement(places: readonly { channel: number; position: string }[]): void;
  /** As a visit has kept it. */
  restoreRig(rig: Rig): void;
}

export const MAX_CHANNELS = 32;

const EMPTY: Rig = {
  source: 'device',
  device: { name: '', channels: 8, sampleRate_Hz: 48000, bits: 24 },
  channels: Array.from({ length: MAX_CHANNELS }, (_, i) => ({
    channel: i + 1,
    use: 'pickup',
    position: '',
    fullScale: '',
    pickup: '',
    relative: false,
    shaft: 'propshaft',
    pulses: '1',
  })),
};

export const rigSlice: Slice<RigSlice> = (set, get) => {
  const change = (part: Partial<Rig>) => set({ rig: { ...get().rig, ...part } });
  const eachChannel = (next: (channel: RigChannel) => RigChannel) =>
    change({ channels: get().rig.channels.map(next) });
  return {
    rig: EMPTY,
    chooseSource: (source) => change({ source }),
    chooseDevice: (device) => change({ device: { ...get().rig.device, ...device } }),
    changeChannel: (channel, part) => eachChannel((c) => (c.channel === channel ? { ...c, ...part } : c)),
    place: (channel, position) =>
      eachChannel((c) => {
        if (c.channel === channel) return { ...c, use: 'pickup', position };
        return c.position === position ? { ...c, position: '' } : c;
      }),
    sameFullScale: (fullScale) => eachChannel((c) => ({ ...c, fullScale })),
    restoreRig: (rig) => set({ rig }),
    setPlacement: (places) =>
      eachChannel((c) => ({
        ...c,
        position: places.find((p) => p.channel === c.channel)?.position ?? '',
      })),
  };
};
