import type { BundleChannel } from '../../../shared/bundle/visit.ts';
import type { CheckResult, CheckState } from '../../../shared/contract/visit-work.ts';
import { type Message, message } from '../../../shared/messages/message.ts';

/** What a check is told of the open source. */
export interface CheckSetting {
  readonly sampleRate_Hz: number;
  /** Vibration channels in the order of the placement. */
  readonly channels: readonly Extract<BundleChannel, { role: 'vibration' }>[];
}

/** One check of the rigging: it takes samples until it knows. */
export interface Check {
  /**
   * @param samples one array per channel of the setting
   * @returns the result once it is known; after that the check is over
   */
  feed(samples: readonly Float32Array[], frames: number): CheckResult | null;
  /** How far it has come, and what the technician is to do. */
  state(): { readonly progress: CheckState['progress']; readonly text: Message };
}

export const channelsInWords = (channels: readonly number[]): Message =>
  message('channels', { count: channels.length, list: channels.map(String) });
