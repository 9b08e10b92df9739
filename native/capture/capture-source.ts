import type { Message } from '../../shared/messages/message.ts';
import { ToldError } from '../../shared/messages/told-error.ts';

/**
 * One stretch of samples from all channels, frame-aligned.
 * The arrays may be reused by the source after `onBlock` returns: keep a copy, not the block.
 */
export interface Block {
  /** Index of the first frame since the source started; missing frames are counted, so it never lies. */
  readonly firstFrame: number;
  readonly frames: number;
  /** Frames lost between the block before and this one; 0 in a sound stream. */
  readonly gapFrames: number;
  /** One array per channel, each `frames` long at least; 1.0 is full scale. */
  readonly channels: readonly Float32Array[];
  /** Monotonic time at which the block was handed over, in seconds. */
  readonly receivedAt_s: number;
}

export interface CaptureFormat {
  readonly channels: number;
  readonly sampleRate_Hz: number;
  /** Bits per sample at the source: 16, 24 or 32. Samples are float32 inside. */
  readonly bits: 16 | 24 | 32;
}

/**
 * What a source has to say beside its samples. The message is one sentence for the technician. `lost` comes
 * again when there is something new to say; the gap of `resumed` is that of the block which follows it.
 */
export type CaptureEvent =
  | { readonly kind: 'running' }
  | { readonly kind: 'lost'; readonly told: Message; readonly cause: string }
  | { readonly kind: 'resumed'; readonly gapFrames: number }
  | { readonly kind: 'ended' };

export interface CaptureListener {
  onBlock(block: Block): void;
  onEvent(event: CaptureEvent): void;
}

/** Where samples come from: an interface, a recording played back, or a simulated drive. */
export interface CaptureSource {
  readonly format: CaptureFormat;
  /** Resolves when samples flow; rejects with a CaptureError when they cannot. */
  start(listener: CaptureListener): Promise<void>;
  /** Idempotent; after it resolves the listener is not called any more. */
  stop(): Promise<void>;
}

/** The message is fit for the technician: what happened and what to do. */
export class CaptureError extends ToldError {
  override readonly name = 'CaptureError';
}
