import type { DrivingState } from '../driveline/words.ts';
import { type Message, message } from '../messages/message.ts';
import type { Manoeuvre, ManoeuvreProgress, Prompt, RoadCard } from './manoeuvre.ts';
import { changesRight, speedRange } from './progress.ts';

/** One look at the drive. */
export type Moment = {
  readonly t_s: number;
  /** Null: no speed source speaks. */
  readonly km_h: number | null;
  readonly drivingState: DrivingState;
  readonly recording: boolean;
};

/** What follows from it: what is said, and the state that is keyed for the driver. */
export type FollowStep = {
  readonly prompts: readonly Prompt[];
  readonly state: DrivingState | null;
};

/** Within the range for this long, the manoeuvre has begun. */
const SETTLE_S = 1.5;
/** Out of the range for this long, the driver is told; and not again before this has passed. */
const STRAYED_S = 3;
const REPEAT_S = 12;
const LONGEST_STEP_S = 2;
/** Readings of whole km/h once a second show a change of speed over this span. */
const SPAN_S = 3;

/**
 * Leads through a road card, one manoeuvre after the other, by what is heard alone: announces it, says when it
 * counts, when it is done, and when the speed has strayed. Nothing counts that is not recorded. Without a speed source
 * a manoeuvre counts while its driving state is keyed.
 */
export class RoadCardFollower {
  readonly #card: RoadCard;
  readonly #held = new Map<string, number>();
  #current: Manoeuvre | null = null;
  #last_s: number | null = null;
  /** Speeds of the last moments, the oldest first. */
  #speeds: { readonly t_s: number; readonly km_h: number }[] = [];
  #inside_s = 0;
  #outside_s = 0;
  #counting = false;
  #saidOff_s = Number.NEGATIVE_INFINITY;
  #toAnnounce: Manoeuvre | null = null;
  #saidEnd = false;

  /** @param done what earlier runs of the visit have brought */
  constructor(card: RoadCard, done: readonly ManoeuvreProgress[]) {
    this.#card = card;
    for (const p of done) this.#held.set(p.id, p.state === 'done' ? p.wanted_s : p.held_s);
    this.#go(this.#nextMissing());
  }

  get current(): string | null {
    return this.#current?.id ?? null;
  }

  progress(): ManoeuvreProgress[] {
    return this.#card.manoeuvres.map((m) => {
      const held_s = this.#held.get(m.id) ?? 0;
      const state = held_s >= m.wanted_s ? 'done' : held_s > 0 ? 'underWay' : 'missing';
      return { id: m.id, held_s, wanted_s: m.wanted_s, state };
    });
  }

  /** Out of turn; null goes on with the next that is missing. */
  choose(id: string | null): void {
    const chosen = id === null ? null : this.#card.manoeuvres.find((m) => m.id === id);
    this.#go(chosen ?? this.#nextMissing(this.#current) ?? this.#current);
  }

  step(moment: Moment): FollowStep {
    const passed = Math.min(LONGEST_STEP_S, Math.max(0, moment.t_s - (this.#last_s ?? moment.t_s)));
    this.#last_s = moment.t_s;
    this.#remember(moment);
    const prompts: Prompt[] = [];
    const say = (tone: Prompt['tone'], words: Message): void => {
      prompts.push({ manoeuvreId: this.current, tone, say: words });
    };
    const announced = this.#announce(say);
    const m = this.#current;
    if (!m) return { prompts, state: announced };

    const counts = this.#counts(m, moment);
    this.#inside_s = counts ? this.#inside_s + passed : 0;
    this.#outside_s = counts ? 0 : this.#outside_s + passed;
    if (counts && !this.#counting && this.#inside_s >= SETTLE_S) {
      this.#counting = true;
      this.#held.set(m.id, (this.#held.get(m.id) ?? 0) + this.#inside_s);
      say('hold', message(m.speed_km_h === m.endSpeed_km_h ? 'prompt.hold' : 'prompt.goOn'));
    } else if (counts && this.#counting) {
      this.#held.set(m.id, (this.#held.get(m.id) ?? 0) + passed);
      if (this.#held.get(m.id)! >= m.wanted_s) {
        say('done', message('prompt.done'));
        this.#go(this.#nextMissing(m));
        const state = this.#announce(say);
        return { prompts, state: state ?? announced };
      }
    } else if (!counts) {
      this.#strayed(m, moment, say);
    }
    return { prompts, state: announced };
  }

  #announce(say: (tone: Prompt['tone'], words: Message) => void): DrivingState | null {
    const next = this.#toAnnounce;
    if (next) {
      this.#toAnnounce = null;
      say('begin', next.say);
      return next.state;
    }
    if (!this.#current && !this.#saidEnd) {
      this.#saidEnd = true;
      say('done', message('prompt.last'));
    }
    return null;
  }

  #counts(m: Manoeuvre, { km_h, drivingState, recording }: Moment): boolean {
    if (!recording) return false;
    if (km_h === null) return drivingState === m.state;
    const { low_km_h, high_km_h } = speedRange(m);
    const inRange = km_h >= low_km_h && km_h <= high_km_h;
    // Whoever only passes through a range does not hold it; and a held speed is no pull.
    const changes = m.speed_km_h === m.endSpeed_km_h || changesRight(m, this.#acceleration_m_s2());
    return inRange && changes && drivingState === m.state;
  }

  #remember({ t_s, km_h }: Moment): void {
    this.#speeds = km_h === null ? [] : [...this.#speeds.filter((s) => t_s - s.t_s <= SPAN_S), { t_s, km_h }];
  }

  #acceleration_m_s2(): number {
    const [first, last] = [this.#speeds[0], this.#speeds.at(-1)];
    if (!first || !last || last.t_s - first.t_s < SPAN_S / 2) return 0;
    return (last.km_h - first.km_h) / 3.6 / (last.t_s - first.t_s);
  }

  #strayed(m: Manoeuvre, moment: Moment, say: (tone: Prompt['tone'], words: Message) => void): void {
    if (this.#outside_s < STRAYED_S) return;
    const wasCounting = this.#counting;
    this.#counting = false;
    if (moment.t_s - this.#saidOff_s < REPEAT_S) return;
    if (!moment.recording) {
      this.#saidOff_s = moment.t_s;
      say('attention', message('prompt.notRecorded'));
    } else if (wasCounting && m.speed_km_h !== m.endSpeed_km_h) {
      // A pull or a lift-off runs out of its range by itself: again from its beginning.
      this.#saidOff_s = moment.t_s;
      say('begin', message('prompt.onceMore', { say: m.say }));
    } else if (wasCounting && moment.km_h !== null) {
      this.#saidOff_s = moment.t_s;
      say('attention', message('prompt.backTo', { speed: m.speed_km_h }));
    }
  }

  #nextMissing(after: Manoeuvre | null = null): Manoeuvre | null {
    const all = this.#card.manoeuvres;
    const from = after ? all.indexOf(after) + 1 : 0;
    const inTurn = [...all.slice(from), ...all.slice(0, from)];
    return inTurn.find((m) => m !== after && (this.#held.get(m.id) ?? 0) < m.wanted_s) ?? null;
  }

  #go(next: Manoeuvre | null): void {
    this.#current = next;
    this.#toAnnounce = next;
    this.#inside_s = this.#outside_s = 0;
    this.#counting = false;
    this.#saidOff_s = Number.NEGATIVE_INFINITY;
    if (next) this.#saidEnd = false;
  }
}
