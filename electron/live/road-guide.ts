import type { LiveState } from '../../shared/contract/live.ts';
import type { AppEvent } from '../../shared/contract/requests.ts';
import type { RoadProgress } from '../../shared/contract/visit-work.ts';
import type { DrivingState } from '../../shared/driveline/words.ts';
import { message } from '../../shared/messages/message.ts';
import { RoadCardFollower } from '../../shared/road-card/follow.ts';
import type { ManoeuvreProgress, RoadCard, Tone } from '../../shared/road-card/manoeuvre.ts';
import { stillMissing } from '../../shared/road-card/progress.ts';
import { type BlockWatcher, LiveError } from './live-session.ts';

/** The live session as far as the guide needs it. */
export interface GuidedSession {
  state(): Pick<LiveState, 'source' | 'drivingState'> & {
    readonly speed: Pick<LiveState['speed'], 'km_h'>;
    /** Null while nothing is being recorded. */
    readonly recording: object | null;
  };
  watch(watcher: BlockWatcher): () => void;
  setDrivingState(state: DrivingState): void;
  cue(tone: Tone): void;
}

const LOOK_EVERY_S = 0.25;
const TELL_EVERY_S = 1;

/** Follows the drive along the visit's road card: prompts are spoken by the screen and sounded in the headphones. */
export class RoadGuide {
  readonly #live: GuidedSession;
  readonly #publish: (event: AppEvent) => void;
  #follower: RoadCardFollower | null = null;
  #visitId: number | null = null;
  #card: RoadCard | null = null;
  #unwatch: () => void = () => {};
  #passed_s = 0;
  #sinceLook_s = 0;
  #sinceTold_s = 0;

  constructor(live: GuidedSession, publish: (event: AppEvent) => void) {
    this.#live = live;
    this.#publish = publish;
  }

  /** @param done what earlier runs of the visit have brought */
  follow(visitId: number, card: RoadCard, done: readonly ManoeuvreProgress[]): void {
    const { source } = this.#live.state();
    if (!source) throw new LiveError(message('error.cardNeedsSource'));
    this.stop();
    this.#visitId = visitId;
    this.#card = card;
    this.#follower = new RoadCardFollower(card, done);
    this.#passed_s = this.#sinceLook_s = this.#sinceTold_s = 0;
    this.#unwatch = this.#live.watch({
      onBlock: (block) => this.#pass((block.gapFrames + block.frames) / source.sampleRate_Hz),
      onChanged: () => {
        if (!this.#live.state().source) this.stop();
      },
    });
    this.#tell();
  }

  stop(): void {
    if (!this.#follower) return;
    this.#unwatch();
    this.#follower = null;
    this.#tell();
  }

  choose(manoeuvreId: string | null): void {
    if (!this.#follower) throw new LiveError(message('error.cardNotFollowed'));
    this.#follower.choose(manoeuvreId);
    this.#tell();
  }

  /** Of the visit whose card is being followed; null for any other. */
  progress(visitId: number | null = this.#visitId): RoadProgress | null {
    const follower = this.#follower;
    if (!follower || !this.#card || visitId !== this.#visitId) return null;
    const manoeuvres = follower.progress();
    const missing = stillMissing(this.#card, manoeuvres);
    return { following: true, current: follower.current, manoeuvres, missing };
  }

  #pass(seconds: number): void {
    this.#passed_s += seconds;
    this.#sinceLook_s += seconds;
    this.#sinceTold_s += seconds;
    if (this.#sinceLook_s < LOOK_EVERY_S) return;
    this.#sinceLook_s = 0;
    const { speed, drivingState, recording } = this.#live.state();
    const { prompts, state } = this.#follower!.step({
      t_s: this.#passed_s,
      km_h: speed.km_h,
      drivingState,
      recording: recording !== null,
    });
    if (state !== null && state !== drivingState) this.#live.setDrivingState(state);
    for (const prompt of prompts) {
      this.#live.cue(prompt.tone);
      this.#publish({ name: 'road.prompt', payload: prompt });
    }
    if (prompts.length > 0 || this.#sinceTold_s >= TELL_EVERY_S) this.#tell();
  }

  #tell(): void {
    this.#sinceTold_s = 0;
    const payload = this.progress() ?? { following: false, current: null, manoeuvres: [], missing: [] };
    this.#publish({ name: 'road.progress', payload });
  }
}
