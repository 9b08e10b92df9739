import type { Block } from '../../native/capture/capture-source.ts';
import type { ListeningOutput } from '../../native/output/listening-output.ts';
import type { BundleChannel } from '../../shared/bundle/visit.ts';
import type { LiveState } from '../../shared/contract/live.ts';
import type { RequestInput } from '../../shared/contract/requests.ts';
import type { Message } from '../../shared/messages/message.ts';
import { toldOf } from '../../shared/messages/told-error.ts';
import type { Tone } from '../../shared/road-card/manoeuvre.ts';
import { CueTones } from './cue-tones.ts';
import { ListeningMix } from './listening-mix.ts';

const DEFAULT_GAIN_DB = 20;

export type OpenOutput = (
  name: string | null,
  sampleRate_Hz: number,
  onProblem: (told: Message | null) => void,
) => Promise<ListeningOutput>;

/**
 * What the technician hears: the mix of the open source, the output it goes to, and the settings that outlive both.
 * An output that fails is a sentence in `settings.problem`, never an error for the caller.
 */
export class Listening {
  settings: LiveState['listening'] = {
    on: true,
    band: 'full',
    gain_db: DEFAULT_GAIN_DB,
    output: null,
    problem: null,
  };
  readonly #openOutput: OpenOutput;
  readonly #onChange: () => void;
  #rate_Hz: number | null = null;
  #mix: ListeningMix | null = null;
  #cues: CueTones | null = null;
  #output: ListeningOutput | null = null;

  constructor(openOutput: OpenOutput, onChange: () => void) {
    this.#openOutput = openOutput;
    this.#onChange = onChange;
  }

  /** A source with these placements is about to play. */
  prepare(sampleRate_Hz: number, channels: readonly BundleChannel[], heard: number | null): void {
    this.#rate_Hz = sampleRate_Hz;
    this.#cues = new CueTones(sampleRate_Hz);
    this.#mix = new ListeningMix(sampleRate_Hz, this.settings.band);
    this.#mix.setGain(this.settings.gain_db);
    this.#mix.setChannels(channels);
    if (heard !== null) this.#mix.hear(heard);
  }

  async openOutput(): Promise<void> {
    await this.#output?.close();
    this.#output = null;
    this.settings.problem = null;
    if (this.#rate_Hz === null || !this.settings.on) return;
    try {
      this.#output = await this.#openOutput(this.settings.output, this.#rate_Hz, (told) => {
        this.settings.problem = told;
        this.#onChange();
      });
    } catch (cause) {
      this.settings.problem = toldOf(cause);
    }
  }

  async change(change: RequestInput<'live.listen'>): Promise<void> {
    const before = this.settings;
    this.settings = {
      ...before,
      on: change.on ?? before.on,
      band: change.band ?? before.band,
      gain_db: change.gain_db ?? before.gain_db,
      output: change.output === undefined ? before.output : change.output,
    };
    if (this.settings.band !== before.band) this.#mix?.setBand(this.settings.band);
    this.#mix?.setGain(this.settings.gain_db);
    if (this.settings.output !== before.output || this.settings.on !== before.on) await this.openOutput();
  }

  hear(channel: number): void {
    this.#mix?.hear(channel);
  }

  /** Sounds a tone over what is heard; nothing without an output. */
  cue(tone: Tone): void {
    this.#cues?.sound(tone);
  }

  feed(block: Block): void {
    if (!this.#output || !this.#mix) return;
    const sound = this.#mix.render(block.channels, block.frames);
    this.#cues?.addTo(sound, block.frames);
    this.#output.write(sound);
  }

  /** The source is gone; the settings stay. */
  async close(): Promise<void> {
    this.#rate_Hz = null;
    this.#mix = null;
    this.#cues = null;
    await this.#output?.close();
    this.#output = null;
  }
}
