/** What can be wrong with a pickup, its lead or its input. */
export const CHANNEL_FAULTS = [
  'dead',
  'clipped',
  'loose',
  'hum',
  'offset',
  'implausible',
  'corrupt',
] as const;
export type ChannelFault = (typeof CHANNEL_FAULTS)[number];

/** With these a channel is left out; a mere offset does no harm. */
const LEAVES_OUT: ReadonlySet<ChannelFault> = new Set([
  'dead',
  'clipped',
  'loose',
  'hum',
  'implausible',
  'corrupt',
]);
export const isLeftOut = (faults: readonly ChannelFault[]): boolean => faults.some((f) => LEAVES_OUT.has(f));

export const FAULT_SENTENCES: Record<ChannelFault, string> = {
  dead: 'gives no signal: check the lead and the clamp',
  clipped: 'is overdriven: turn its gain down and record again',
  loose: 'drops out or crackles: the clamp or the plug is loose',
  hum: 'carries mains hum: check its earth and keep the lead away from mains adapters',
  offset: 'has a constant offset, which was taken away',
  implausible: 'is far louder or quieter than anything on a car: check its sensitivity and full scale',
  corrupt: 'holds values that are not numbers: record again',
};
