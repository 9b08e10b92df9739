/** What the PortAudio child and its parent say to each other. */

/** How a device is found again: ids change whenever something is plugged in. */
export interface DeviceRef {
  readonly name: string;
  /** Without it the first device of that name is taken. */
  readonly hostApi?: string | undefined;
}

export interface CaptureRequest {
  readonly kind: 'capture';
  /** null is the system's default device. */
  readonly device: DeviceRef | null;
  readonly channels: number;
  readonly sampleRate_Hz: number;
  readonly bits: 16 | 24 | 32;
  readonly framesPerBlock: number;
}

export interface PlayRequest {
  readonly kind: 'play';
  readonly device: DeviceRef | null;
  /** Rate of the mono samples that will be sent. */
  readonly sampleRate_Hz: number;
}

export type ToChild =
  | { readonly kind: 'list' }
  | CaptureRequest
  | PlayRequest
  | { readonly kind: 'samples'; readonly samples: Float32Array }
  | { readonly kind: 'stop' };

export interface ListedDevice {
  readonly name: string;
  readonly hostApi: string;
  readonly inputChannels: number;
  readonly outputChannels: number;
  readonly defaultSampleRate_Hz: number;
  readonly isDefaultInput: boolean;
  readonly isDefaultOutput: boolean;
}

/** 'silent' is said by the parent of a child that gives no sign of life. */
export type RefusalReason = 'missing' | 'channels' | 'rate' | 'busy' | 'silent' | 'other';

export interface Refusal {
  readonly kind: 'refused';
  readonly reason: RefusalReason;
  /** What PortAudio said; for the log. */
  readonly detail: string;
  /** What the device could do, for the sentence. */
  readonly channelsThere?: number;
}

export type FromChild =
  | { readonly kind: 'devices'; readonly devices: readonly ListedDevice[] }
  /** Sample rates at which the input of a listed device, by its place in the list, can be opened. */
  | { readonly kind: 'rates'; readonly index: number; readonly sampleRates_Hz: readonly number[] }
  | { readonly kind: 'listed' }
  | Refusal
  | { readonly kind: 'data'; readonly bytes: Uint8Array }
  /** PortAudio reported an overflow; at least this many frames are missing before the next data. */
  | { readonly kind: 'overflow'; readonly frames: number }
  | { readonly kind: 'playing'; readonly sampleRate_Hz: number }
  /** Told several times a second, so that silence means that the output hangs. */
  | { readonly kind: 'played'; readonly underruns: number; readonly starved: number }
  | { readonly kind: 'stopped' };
