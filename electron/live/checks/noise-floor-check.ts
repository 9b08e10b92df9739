import { BANDS } from '../../../shared/contract/live.ts';
import type { CheckResult } from '../../../shared/contract/visit-work.ts';
import { accelerationLevelDb, fullScaleLevelDb, median } from '../../../shared/dsp/levels.ts';
import { butterworthBandpass, SosFilter } from '../../../shared/dsp/sos.ts';
import { message } from '../../../shared/messages/message.ts';
import { type Check, type CheckSetting, channelsInWords } from './check.ts';

type NoiseFloorResult = Extract<CheckResult, { check: 'noiseFloor' }>;

/** Filters and hands come to rest first. */
const SETTLE_S = 1;
const MEASURE_S = 4;
/** A step or a door spoils a piece, not the measurement: the middle piece counts. */
const PIECE_S = 0.25;
/** Below one step of a 16-bit converter there is no pickup at the other end. */
const DEAD_RMS = 10 ** (-96 / 20);
/**
 * Running gear at road speed gives 0.3 m/s² and more at its hubs (common practice): noise of a tenth of that would be
 * heard in the quiet parts of a spectrum.
 */
const HIGH_M_S2 = 0.03;
/** Without a sensitivity: so far above full scale's floor, or so far above the other channels, something is wrong. */
const HIGH_RMS = 10 ** (-50 / 20);
const HIGH_OVER_OTHERS = 10;

/** All channels with the vehicle at rest and the engine off: what is heard then is the chain itself. */
export class NoiseFloorCheck implements Check {
  readonly #setting: CheckSetting;
  readonly #filters: SosFilter[];
  readonly #pieces: number[][];
  readonly #squares: Float64Array;
  readonly #pieceFrames: number;
  #frames = 0;
  #inPiece = 0;
  #scratch = new Float64Array(0);

  constructor(setting: CheckSetting) {
    this.#setting = setting;
    const { sampleRate_Hz, channels } = setting;
    const { low_Hz, high_Hz } = BANDS.full;
    const band = butterworthBandpass(2, low_Hz, Math.min(high_Hz, 0.45 * sampleRate_Hz), sampleRate_Hz);
    this.#filters = channels.map(() => new SosFilter(band));
    this.#pieces = channels.map(() => []);
    this.#squares = new Float64Array(channels.length);
    this.#pieceFrames = Math.round(PIECE_S * sampleRate_Hz);
  }

  state() {
    const done = this.#frames / this.#setting.sampleRate_Hz / (SETTLE_S + MEASURE_S);
    return {
      progress: Math.min(1, done),
      text: message('check.noiseFloor.ask'),
    };
  }

  feed(samples: readonly Float32Array[], frames: number): NoiseFloorResult | null {
    if (this.#scratch.length < frames) this.#scratch = new Float64Array(frames);
    const { sampleRate_Hz } = this.#setting;
    const settled = this.#frames >= SETTLE_S * sampleRate_Hz;
    for (const [c, filter] of this.#filters.entries()) {
      filter.process(samples[c]!, this.#scratch, frames);
      let squares = 0;
      for (let i = 0; i < frames; i++) squares += this.#scratch[i]! ** 2;
      if (settled) this.#squares[c]! += squares;
    }
    this.#frames += frames;
    if (!settled) return null;
    this.#inPiece += frames;
    if (this.#inPiece >= this.#pieceFrames) {
      for (const [c, pieces] of this.#pieces.entries()) {
        pieces.push(Math.sqrt(this.#squares[c]! / this.#inPiece));
        this.#squares[c] = 0;
      }
      this.#inPiece = 0;
    }
    return this.#frames >= (SETTLE_S + MEASURE_S) * sampleRate_Hz ? this.#judge() : null;
  }

  #judge(): NoiseFloorResult {
    const floors = this.#pieces.map((pieces) => median(pieces));
    const alive = floors.filter((rms) => rms > DEAD_RMS);
    const channels = this.#setting.channels.map(({ channel, fullScale_m_s2 }, c) => {
      const rms = floors[c]!;
      const rms_m_s2 = fullScale_m_s2 == null ? null : rms * fullScale_m_s2;
      const others = alive.length >= 3 ? median(alive) : null;
      const level =
        rms_m_s2 === null
          ? message('level.fullScale', { level_db: fullScaleLevelDb(rms) })
          : message('level.acceleration', { level_db: accelerationLevelDb(rms_m_s2) });
      if (rms <= DEAD_RMS) {
        const text = message('check.noiseFloor.dead', { channel });
        return { channel, rms, rms_m_s2, verdict: 'dead' as const, text };
      }
      const high =
        rms_m_s2 !== null
          ? rms_m_s2 > HIGH_M_S2
          : rms > HIGH_RMS || (others !== null && rms > HIGH_OVER_OTHERS * others);
      return {
        channel,
        rms,
        rms_m_s2,
        verdict: high ? ('high' as const) : ('quiet' as const),
        text: message(high ? 'check.noiseFloor.high' : 'check.noiseFloor.quiet', { channel, level }),
      };
    });
    const doubtful = channels.filter((c) => c.verdict !== 'quiet').map((c) => c.channel);
    return {
      check: 'noiseFloor',
      verdict: doubtful.length > 0 ? 'doubtful' : 'good',
      channels,
      text:
        doubtful.length > 0
          ? message('check.noiseFloor.doubtful', { channels: channelsInWords(doubtful) })
          : message('check.noiseFloor.good'),
    };
  }
}
