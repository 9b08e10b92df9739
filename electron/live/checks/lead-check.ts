import type { CheckResult } from '../../../shared/contract/visit-work.ts';
import type { ChannelFault } from '../../../shared/diagnosis/channel-faults.ts';
import { type ChannelStatistics, ChannelWatch, channelFaults } from '../../../shared/diagnosis/channels.ts';
import { message } from '../../../shared/messages/message.ts';
import { DecimatedChannels } from '../decimated-channels.ts';
import { HumWatch } from '../hum-watch.ts';
import { type Check, type CheckSetting, channelsInWords } from './check.ts';

type LeadResult = Extract<CheckResult, { check: 'lead' }>;
type LeadFault = LeadResult['channels'][number]['faults'][number];

/** Long enough for a hand to go along every lead. */
const MEASURE_S = 15;
/** At rest a pickup may well be far quieter than on the road. */
const LEAD_FAULTS: readonly ChannelFault[] = ['dead', 'clipped', 'loose', 'offset'];
const isLeadFault = (fault: ChannelFault): fault is LeadFault & ChannelFault => LEAD_FAULTS.includes(fault);
const DEAD_RMS = 10 ** (-96 / 20);

/** A wave that is cut off is large; a quiet converter only comes back to its own topmost step. */
const CUT_OFF_PEAK = 0.1;

/**
 * What is judged against a drive must hold at rest as well: beside louder ones a quiet pickup seems dead there, and the
 * few steps of a quiet converter seem cut off.
 */
function holdsAtRest(fault: LeadFault, { rms, peak }: ChannelStatistics): boolean {
  if (fault === 'dead') return rms < DEAD_RMS;
  if (fault === 'clipped') return peak >= CUT_OFF_PEAK;
  return true;
}

/** Every lead is moved by hand while all channels are watched: a loose plug crackles or drops out. */
export class LeadCheck implements Check {
  readonly #setting: CheckSetting;
  readonly #watches: ChannelWatch[];
  readonly #decimated: DecimatedChannels;
  readonly #hum: HumWatch;
  readonly #hums: boolean[];
  #frames = 0;
  readonly #copy: Float32Array[];

  constructor(setting: CheckSetting) {
    const { channels, sampleRate_Hz } = setting;
    this.#setting = setting;
    this.#watches = channels.map(() => new ChannelWatch(sampleRate_Hz));
    this.#decimated = new DecimatedChannels(channels.length, sampleRate_Hz);
    this.#hum = new HumWatch(channels.length, this.#decimated.rate_Hz);
    this.#hums = channels.map(() => false);
    this.#copy = channels.map(() => new Float32Array(0));
  }

  state() {
    const progress = Math.min(1, this.#frames / this.#setting.sampleRate_Hz / MEASURE_S);
    return {
      progress,
      text: message('check.lead.ask'),
    };
  }

  feed(samples: readonly Float32Array[], frames: number): LeadResult | null {
    for (const [c, watch] of this.#watches.entries()) {
      if (this.#copy[c]!.length < frames) this.#copy[c] = new Float32Array(frames);
      // The watch mends what is no number in place; the block belongs to others as well.
      this.#copy[c]!.set(samples[c]!.subarray(0, frames));
      watch.push(this.#copy[c]!, frames);
    }
    this.#decimated.feed(this.#copy, frames);
    this.#hum.feed(this.#decimated.channels, this.#decimated.frames);
    for (const c of this.#hums.keys()) this.#hums[c] ||= this.#hum.heard(c);
    this.#frames += frames;
    return this.#frames >= MEASURE_S * this.#setting.sampleRate_Hz ? this.#judge() : null;
  }

  #judge(): LeadResult {
    const statistics = this.#watches.map((w) => w.finish());
    // Without samples to look for hum in: that has been watched all along.
    const none = new Float32Array(0);
    const faults = channelFaults(
      statistics,
      statistics.map(() => none),
      this.#decimated.rate_Hz,
      statistics.map(() => null),
      statistics.map(() => []),
    );
    const channels = this.#setting.channels.map(({ channel }, c) => {
      const own = faults[c]!.filter(isLeadFault).filter((f) => holdsAtRest(f, statistics[c]!));
      if (this.#hums[c]) own.push('hum');
      return {
        channel,
        faults: own,
        text:
          own.length > 0
            ? message('check.lead.faulty', { channel, faults: own })
            : message('check.lead.sound', { channel }),
      };
    });
    const doubtful = channels.filter((c) => c.faults.some((f) => f !== 'offset')).map((c) => c.channel);
    return {
      check: 'lead',
      verdict: doubtful.length > 0 ? 'doubtful' : 'good',
      channels,
      text:
        doubtful.length > 0
          ? message('check.lead.doubtful', { channels: channelsInWords(doubtful) })
          : message('check.lead.good'),
    };
  }
}
