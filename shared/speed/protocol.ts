/** What a speed link tells: one measured value, stamped with the monotonic time at which it arrived. */
export type SpeedLinkReading =
  | { readonly quantity: 'road'; readonly km_h: number; readonly at_s: number }
  | { readonly quantity: 'engine'; readonly rpm: number; readonly at_s: number };

/**
 * Why a link gives no speed at this moment:
 * - `lost`: the port is gone;
 * - `silent`: the port is there and says nothing;
 * - `flood`: more arrives than any serial line carries;
 * - `unreadable`: bytes arrive that are not the protocol's, as at a wrong baud rate;
 * - `noFix`: the receiver knows no position;
 * - `noAnswer`: the adapter is there and the vehicle does not answer it;
 * - `absurd`: speeds that no vehicle can drive;
 * - `noSpeed`: all is well, and no speed is told.
 */
export type LinkProblem =
  | 'lost'
  | 'silent'
  | 'flood'
  | 'unreadable'
  | 'noFix'
  | 'noAnswer'
  | 'absurd'
  | 'noSpeed';

/** What is to be done after some time has passed. */
export interface ProtocolStep {
  /** Readings that were only complete because nothing followed. */
  readonly readings: readonly SpeedLinkReading[];
  /** A line to send now, with its ending. */
  readonly send: string | null;
}

/**
 * The talk over one serial link, without the link: bytes and monotonic time in; readings, lines to send and problems
 * out. Memory is bounded whatever arrives, and no bytes make it throw.
 */
export interface SpeedProtocol {
  /** The link has been made, or made again: whatever was half said is forgotten. */
  begin(now_s: number): void;
  receive(bytes: Uint8Array, now_s: number): readonly SpeedLinkReading[];
  /** To be called some twenty times a second. */
  step(now_s: number): ProtocolStep;
  problem(now_s: number): LinkProblem | null;
}
