import type { RefusalReason } from './messages.ts';

export interface Asked {
  /** The device's name, or null for the default one. */
  readonly name: string | null;
  readonly direction: 'input' | 'output';
  readonly channels: number;
  readonly sampleRate_Hz: number;
}

/** One sentence for the technician: what happened and what to do. */
export function refusalWords(asked: Asked, reason: RefusalReason, channelsThere?: number): string {
  const device = asked.name ?? `The default sound ${asked.direction}`;
  switch (reason) {
    case 'missing':
      if (asked.name === null) return `No sound ${asked.direction} was found; plug one in and try again.`;
      return `${device} is not connected; plug it in and try again.`;
    case 'channels':
      return channelsThere === undefined
        ? `${device} does not offer ${asked.channels} channels; choose fewer.`
        : `${device} has ${channelsThere} ${asked.direction} channels, not ${asked.channels}; choose ${channelsThere ? 'fewer channels' : 'another device'}.`;
    case 'rate':
      return `${device} does not run at ${asked.sampleRate_Hz} Hz; choose another sample rate.`;
    case 'busy':
      return `${device} is in use by another program; close that program and try again.`;
    case 'silent':
      return `${device} is there but does not run; unplug it, plug it in and try again.`;
    case 'other':
      return `${device} could not be opened; unplug it, plug it in and try again.`;
  }
}
