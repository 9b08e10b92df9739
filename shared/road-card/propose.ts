import type { DriveLayout, DrivingState, Source } from '../driveline/words.ts';
import { type Message, message } from '../messages/message.ts';
import type { HeardWhen } from '../visit-work/intake.ts';
import type { Manoeuvre, ManoeuvreKind, RoadCard } from './manoeuvre.ts';

/** What the card is made from. */
export type RoadCardWishes = {
  readonly heard: HeardWhen;
  readonly layout: DriveLayout | null;
  readonly electricDrive: boolean | null;
  /** What the diagnosis holds open; null: nothing has been measured yet. */
  readonly open: readonly { readonly source: Source; readonly probability: number }[] | null;
  /** The technician says that a neutral coast-down is lawful and safe here. */
  readonly neutralAllowed: boolean;
  /** Highest speed that the roads at hand allow. */
  readonly limit_km_h: number;
};

type Candidate = 'bearing' | 'tyre' | 'gear' | 'shaft' | 'engine';

/** A candidate less probable than this is not worth a manoeuvre. */
const WORTH = 0.03;
/** Without the owner's words the drive covers the range in which running gear is usually heard (common practice). */
const USUAL_KM_H = { from: 50, to: 100 };
const SLOWEST_KM_H = 30;
/** A sway loads one side without leaving the lane; faster than this it is no longer gentle. */
const FASTEST_SWAY_KM_H = 80;
/** What an engine brakes off in about ten seconds (common practice). */
const COAST_DROP_KM_H = 20;
/** Less than this is no pull and no lift-off. */
const LEAST_CHANGE_KM_H = 10;
const SLOWEST_END_KM_H = 20;

const candidateOf = (source: Source): Candidate | null => {
  if (source.startsWith('wheel-bearing')) return 'bearing';
  if (source.startsWith('tyre')) return 'tyre';
  if (source.startsWith('differential')) return 'gear';
  if (source === 'propshaft-centre-bearing') return 'shaft';
  if (source === 'transmission' || source === 'engine') return 'engine';
  return null;
};

function openCandidates({ open, heard, electricDrive }: RoadCardWishes): Set<Candidate> {
  const all: Candidate[] = ['bearing', 'tyre', 'gear', 'shaft', 'engine'];
  if (!open) {
    // What is silent while standing may still be an engine under load, so nothing is ruled out by words alone.
    return new Set(all.filter((c) => c !== 'engine' || electricDrive !== true || heard.standing === true));
  }
  const left = new Set(
    open
      .filter((o) => o.probability >= WORTH)
      .map((o) => candidateOf(o.source))
      .filter((c) => c !== null),
  );
  return left.size > 0 ? left : new Set(all);
}

const toTen = (km_h: number): number => Math.round(km_h / 10) * 10;

/** Up to three speeds to hold, the main one first: where it is heard, and what lies around it. */
export function speedsToHold(heard: HeardWhen, limit_km_h: number): number[] {
  const from =
    heard.speedFrom_km_h ?? (heard.speedTo_km_h !== null ? heard.speedTo_km_h - 30 : USUAL_KM_H.from);
  const to =
    heard.speedTo_km_h ?? (heard.speedFrom_km_h !== null ? heard.speedFrom_km_h + 30 : USUAL_KM_H.to);
  const top = Math.floor(limit_km_h / 10) * 10;
  const hold = (km_h: number): number => Math.min(top, Math.max(SLOWEST_KM_H, toTen(km_h)));
  const main = hold((from + to) / 2);
  const low = hold(Math.min(from, main - 20));
  const high = hold(Math.max(to, main + 20));
  return [...new Set([main, low, high])];
}

class CardWriter {
  readonly manoeuvres: Manoeuvre[] = [];

  steady(km_h: number, wanted_s: number): void {
    this.#add('steady', 'drive', [km_h, km_h], wanted_s);
  }

  pull(from_km_h: number, to_km_h: number): void {
    this.#add('drive', 'drive', [from_km_h, to_km_h], 8);
  }

  liftOff(from_km_h: number, to_km_h: number): void {
    this.#add('coast', 'coast', [from_km_h, to_km_h], 8, message('manoeuvre.coast.caution'));
  }

  float(km_h: number): void {
    this.#add('float', 'float', [km_h, km_h], 8);
  }

  /** @param loaded the side that carries the load, which the state is named after: the bend goes the other way */
  sway(km_h: number, loaded: 'left' | 'right'): void {
    const kind = loaded === 'left' ? 'swayLeft' : 'swayRight';
    this.#add(kind, kind, [km_h, km_h], 8, message('manoeuvre.sway.caution'));
  }

  otherGear(km_h: number): void {
    this.#add('otherGear', 'drive', [km_h, km_h], 12, message('manoeuvre.otherGear.caution'));
  }

  neutral(from_km_h: number, to_km_h: number): void {
    this.#add(
      'neutralCoast',
      'float',
      [from_km_h, to_km_h],
      8,
      message('manoeuvre.neutralCoast.lawful'),
      message('manoeuvre.neutralCoast.maker'),
    );
  }

  #add(
    kind: ManoeuvreKind,
    state: DrivingState,
    [speed_km_h, endSpeed_km_h]: readonly [number, number],
    wanted_s: number,
    ...cautions: Message[]
  ): void {
    const id = `${kind}-${speed_km_h}`;
    const speeds = { speed: speed_km_h, end: endSpeed_km_h };
    const [title, why, say] = [
      message(`manoeuvre.${kind}.title`, speeds),
      message(`manoeuvre.${kind}.why`),
      message(`manoeuvre.${kind}.say`, speeds),
    ];
    this.manoeuvres.push({ id, kind, state, speed_km_h, endSpeed_km_h, wanted_s, title, why, say, cautions });
  }
}

/**
 * The manoeuvres that separate what is still open, the most telling first.
 *
 * Gears answer to the direction of torque, wheel bearings to the side that is loaded, tyres to speed alone, an engine
 * to its own speed alone (common practice): each pair of kinds is parted by the manoeuvre in which one answers and the
 * other does not.
 */
export function proposeRoadCard(wishes: RoadCardWishes): RoadCard {
  const { limit_km_h } = wishes;
  const open = openCandidates(wishes);
  const speeds = speedsToHold(wishes.heard, limit_km_h);
  const main = speeds[0]!;
  const card = new CardWriter();
  card.steady(main, 20);
  if (open.has('gear') || open.has('shaft') || (open.has('engine') && open.size > 1)) {
    const high = Math.min(main + COAST_DROP_KM_H / 2, Math.max(main, limit_km_h));
    const low = Math.max(SLOWEST_END_KM_H, high - COAST_DROP_KM_H);
    if (high - low >= LEAST_CHANGE_KM_H) {
      card.pull(low, high);
      card.liftOff(high, low);
    }
    card.float(main);
  }
  if (open.has('bearing') || open.has('tyre')) {
    card.sway(Math.min(main, FASTEST_SWAY_KM_H), 'left');
    card.sway(Math.min(main, FASTEST_SWAY_KM_H), 'right');
  }
  for (const other of speeds.slice(1)) card.steady(other, 12);
  if (open.has('engine') && wishes.electricDrive !== true) {
    card.otherGear(main);
    if (wishes.neutralAllowed) card.neutral(main, Math.max(SLOWEST_END_KM_H, main - COAST_DROP_KM_H));
  }
  return { manoeuvres: card.manoeuvres, madeFrom: madeFrom(wishes, open) };
}

function madeFrom({ heard, open }: RoadCardWishes, left: ReadonlySet<Candidate>): Message {
  const candidates = [...left];
  if (open) return message('road.madeFromFindings', { candidates });
  const { speedFrom_km_h: from, speedTo_km_h: to } = heard;
  const speed = from ?? to;
  if (speed === null) return message('road.madeFromNothing', { candidates });
  return message('road.madeFromComplaint', {
    heard:
      from !== null && to !== null
        ? message('road.heardFromTo', { from, to })
        : message('road.heardAt', { speed }),
    candidates,
  });
}
