import type { DriveLayout, DrivingState, Source } from '../driveline/words.ts';
import { type UnitSystem, withUnit } from '../units/units.ts';
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
  readonly units: UnitSystem;
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

/** Writes manoeuvres in the shop's units. */
class CardWriter {
  readonly manoeuvres: Manoeuvre[] = [];
  readonly #units: UnitSystem;

  constructor(units: UnitSystem) {
    this.#units = units;
  }

  steady(km_h: number, wanted_s: number): void {
    this.#add('steady', 'drive', [km_h, km_h], wanted_s, {
      title: `Hold ${this.#speed(km_h)} with light throttle`,
      why: 'Every line of the running gear stands still at a held speed; how the level grows from speed to speed tells tyres from the rest.',
      say: `Hold ${this.#spoken(km_h)} with a light foot.`,
    });
  }

  pull(from_km_h: number, to_km_h: number): void {
    this.#add('drive', 'drive', [from_km_h, to_km_h], 8, {
      title: `Pull from ${this.#speed(from_km_h)} to ${this.#speed(to_km_h)} in a high gear`,
      why: 'Torque forward loads the drive side of the teeth: a gear changes its sound, a bearing or a tyre hardly.',
      say: `From ${this.#spoken(from_km_h)}, pull firmly up to ${this.#spoken(to_km_h)}.`,
    });
  }

  liftOff(from_km_h: number, to_km_h: number): void {
    this.#add('coast', 'coast', [from_km_h, to_km_h], 8, {
      title: `Lift off at ${this.#speed(from_km_h)}, let it slow to ${this.#speed(to_km_h)} in gear`,
      why: 'Engine braking loads the other side of the teeth: a whine that comes or goes here is a gear.',
      say: `Lift off and stay in gear, down to ${this.#spoken(to_km_h)}.`,
      cautions: ['Nobody close behind: there is no brake light.'],
    });
  }

  float(km_h: number): void {
    this.#add('float', 'float', [km_h, km_h], 8, {
      title: `Float at ${this.#speed(km_h)}: neither pulling nor braking`,
      why: 'Without torque a gear rattles or falls silent; what stays is a bearing, a tyre or the road.',
      say: `At ${this.#spoken(km_h)}, just enough throttle to neither pull nor brake.`,
    });
  }

  /** @param loaded the side that carries the load, which the state is named after: the bend goes the other way */
  sway(km_h: number, loaded: 'left' | 'right'): void {
    const kind = loaded === 'left' ? 'swayLeft' : 'swayRight';
    const bend = loaded === 'left' ? 'right' : 'left';
    this.#add(kind, kind, [km_h, km_h], 8, {
      title: `Gentle ${bend}-hand bends at ${this.#speed(km_h)}: load on the ${loaded}`,
      why: `Loads the ${loaded} wheels: a worn bearing there grows louder, and one on the other side quieter.`,
      say: `At ${this.#spoken(km_h)}, gentle bends to the ${bend}.`,
      cautions: ['A wide, empty, dry road; stay in the lane; gentle, as in a long bend.'],
    });
  }

  otherGear(km_h: number): void {
    this.#add('otherGear', 'drive', [km_h, km_h], 12, {
      title: `Hold ${this.#speed(km_h)} one gear lower`,
      why: 'The road parts turn as before and the engine faster: what follows the engine is not the running gear.',
      say: `Stay at ${this.#spoken(km_h)} and take one gear lower.`,
      cautions: ['It counts once the gear is known: from the vehicle’s bus, or keyed in by the passenger.'],
    });
  }

  neutral(from_km_h: number, to_km_h: number): void {
    this.#add('neutralCoast', 'float', [from_km_h, to_km_h], 8, {
      title: `Roll in neutral from ${this.#speed(from_km_h)}`,
      why: 'With the engine idling and no torque anywhere, what is still heard turns with the wheels.',
      say: 'Into neutral and let it roll. Brakes and steering stay ready.',
      cautions: [
        'Only where it is lawful, on a straight and empty road, never downhill; the engine stays on.',
        'Some automatic and electric drives must not roll in neutral: the maker’s instructions decide.',
      ],
    });
  }

  #add(
    kind: ManoeuvreKind,
    state: DrivingState,
    [speed_km_h, endSpeed_km_h]: readonly [number, number],
    wanted_s: number,
    words: Pick<Manoeuvre, 'title' | 'why' | 'say'> & { readonly cautions?: string[] },
  ): void {
    const id = `${kind}-${speed_km_h}`;
    const cautions = words.cautions ?? [];
    this.manoeuvres.push({ id, kind, state, speed_km_h, endSpeed_km_h, wanted_s, ...words, cautions });
  }

  #speed(km_h: number): string {
    return withUnit(km_h, 'speed', this.#units);
  }

  #spoken(km_h: number): string {
    return this.#speed(km_h).replace('km/h', 'kilometres an hour').replace('mph', 'miles an hour');
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
  const card = new CardWriter(wishes.units);
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

const CANDIDATE_WORDS: Record<Candidate, string> = {
  bearing: 'wheel bearings',
  tyre: 'tyres',
  gear: 'final drives',
  shaft: 'the propshaft',
  engine: 'engine and gearbox',
};

function madeFrom({ heard, open, units }: RoadCardWishes, left: ReadonlySet<Candidate>): string {
  const names = [...left].map((c) => CANDIDATE_WORDS[c]).join(', ');
  if (open) return `Made from what the measurement has left open: ${names}.`;
  const { speedFrom_km_h: from, speedTo_km_h: to } = heard;
  if (from === null && to === null) {
    return `Nothing is ruled out yet (${names}), and the owner gave no speed: the usual range is driven.`;
  }
  const range = [from, to].filter((v) => v !== null).map((v) => withUnit(v, 'speed', units));
  return `Made from the complaint: heard at ${range.join(' to ')}. Still open: ${names}.`;
}
