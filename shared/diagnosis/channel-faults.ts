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
