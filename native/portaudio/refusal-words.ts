import { type Message, message } from '../../shared/messages/message.ts';
import type { RefusalReason } from './messages.ts';

export interface Asked {
  /** The device's name, or null for the default one. */
  readonly name: string | null;
  readonly direction: 'input' | 'output';
  readonly channels: number;
  readonly sampleRate_Hz: number;
}

/** One sentence for the technician: what happened and what to do. */
export function refusalWords(asked: Asked, reason: RefusalReason, channelsThere?: number): Message {
  const { name, channels, sampleRate_Hz: rate_Hz } = asked;
  const input = asked.direction === 'input';
  const device = name ?? message(input ? 'device.defaultInput' : 'device.defaultOutput');
  switch (reason) {
    case 'missing':
      if (name === null) return message(input ? 'error.noInput' : 'error.noOutput');
      return message('error.deviceMissing', { device });
    case 'channels': {
      if (channelsThere === undefined) return message('error.deviceChannels', { device, channels });
      if (channelsThere === 0)
        return message(input ? 'error.deviceNoInputs' : 'error.deviceNoOutputs', { device, channels });
      const there = channelsThere;
      return message(input ? 'error.deviceInputs' : 'error.deviceOutputs', { device, there, channels });
    }
    case 'rate':
      return message('error.deviceRate', { device, rate_Hz });
    case 'busy':
      return message('error.deviceBusy', { device });
    case 'silent':
      return message('error.deviceSilent', { device });
    case 'other':
      return message('error.deviceOther', { device });
  }
}
