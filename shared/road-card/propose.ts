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
  const top = Math.max(SLOWEST_KM_H, Math.floor(limit_km_h / 10) * 10);
  const hold = (km_h: number): number => Math.min(top, Math.max(SLOWEST_KM_H, toTen(km_h)));
  const main = hold((from + to) / 2);
  const low = hold(Math.min(from, main - 20));
  const high = hold(Math.max(to, main + 20));
  return [...new Set([main, low, high])];
}

/**
 * The manoeuvres that separate what is still open, the most telling first.
 *
 * Gears answer to the direction of torque, wheel bearings to the side that is loaded, tyres to speed alone, an engine
 * to its own speed alone (common practice): each pair of kinds is parted by the manoeuvre in which one answers and the
 * other does not.
 */
export function proposeRoadCard(wishes: RoadCardWishes): RoadCard {
  const { heard, units, limit_km_h } = wishes;
  const open = openCandidates(wishes);
  const speeds = speedsToHold(heard, limit_km_h);
  const main = speeds[0]!;
  const manoeuvres: Manoeuvre[] = [];
  const speed = (km_h: number): string => withUnit(km_h, 'speed', units);
  const spoken = (km_h: number): string =>
    speed(km_h).replace('km/h', 'kilometres an hour').replace('mph', 'miles an hour');

  const add = (
    kind: ManoeuvreKind,
    state: DrivingState,
    speed_km_h: number,
    wanted_s: number,
    words: Pick<Manoeuvre, 'title' | 'why' | 'say'> & { cautions?: string[]; endSpeed_km_h?: number },
  ): void => {
    const { cautions = [], endSpeed_km_h = speed_km_h, ...rest } = words;
    const id = `${kind}-${speed_km_h}`;
    manoeuvres.push({ id, kind, state, speed_km_h, endSpeed_km_h, wanted_s, cautions, ...rest });
  };

  const steady = (km_h: number, wanted_s: number): void =>
    add('steady', 'drive', km_h, wanted_s, {
      title: `Hold ${speed(km_h)} with light throttle`,
      why: 'Every line of the running gear stands still at a held speed; how the level grows from speed to speed tells tyres from the rest.',
      say: `Hold ${spoken(km_h)} with a light foot.`,
    });
  steady(main, 20);

  if (open.has('gear') || open.has('shaft') || (open.has('engine') && open.size > 1)) {
    const start = Math.min(main + COAST_DROP_KM_H / 2, Math.max(main, limit_km_h));
    const end = Math.max(20, start - COAST_DROP_KM_H);
    add('drive', 'drive', end, 8, {
      endSpeed_km_h: start,
      title: `Pull from ${speed(end)} to ${speed(start)} in a high gear`,
      why: 'Torque forward loads the drive side of the teeth: a gear changes its sound, a bearing or a tyre hardly.',
      say: `From ${spoken(end)}, pull firmly up to ${spoken(start)}.`,
    });
    add('coast', 'coast', start, 8, {
      endSpeed_km_h: end,
      title: `Lift off at ${speed(start)}, let it slow to ${speed(end)} in gear`,
      why: 'Engine braking loads the other side of the teeth: a whine that comes or goes here is a gear.',
      say: `Lift off and stay in gear, down to ${spoken(end)}.`,
      cautions: ['Nobody close behind: there is no brake light.'],
    });
    add('float', 'float', main, 8, {
      title: `Float at ${speed(main)}: neither pulling nor braking`,
      why: 'Without torque a gear rattles or falls silent; what stays is a bearing, a tyre or the road.',
      say: `At ${spoken(main)}, just enough throttle to neither pull nor brake.`,
    });
  }
  if (open.has('bearing') || open.has('tyre')) {
    const sway = Math.min(main, FASTEST_SWAY_KM_H);
    const cautions = ['A wide, empty, dry road; stay in the lane; gentle, as in a long bend.'];
    const why = (side: string): string =>
      `Loads the ${side} wheels: a worn bearing there grows louder, and one on the other side quieter.`;
    // The state names the side that carries the load.
    add('swayLeft', 'swayLeft', sway, 8, {
      title: `Gentle right-hand bends at ${speed(sway)}: load on the left`,
      why: why('left'),
      say: `At ${spoken(sway)}, gentle bends to the right.`,
      cautions,
    });
    add('swayRight', 'swayRight', sway, 8, {
      title: `Gentle left-hand bends at ${speed(sway)}: load on the right`,
      why: why('right'),
      say: `At ${spoken(sway)}, gentle bends to the left.`,
      cautions,
    });
  }
  for (const other of speeds.slice(1)) steady(other, 12);
  if (open.has('engine') && wishes.electricDrive !== true) {
    add('otherGear', 'drive', main, 12, {
      title: `Hold ${speed(main)} one gear lower`,
      why: 'The road parts turn as before and the engine faster: what follows the engine is not the running gear.',
      say: `Stay at ${spoken(main)} and take one gear lower. Key in the new ratio afterwards.`,
    });
    if (wishes.neutralAllowed) {
      add('neutralCoast', 'float', main, 8, {
        endSpeed_km_h: Math.max(20, main - COAST_DROP_KM_H),
        title: `Roll in neutral from ${speed(main)}`,
        why: 'With the engine idling and no torque anywhere, what is still heard turns with the wheels.',
        say: `Into neutral and let it roll. Brakes and steering stay ready.`,
        cautions: [
          'Only where it is lawful, on a straight and empty road, never downhill; the engine stays on.',
          'Some automatic and electric drives must not roll in neutral: the maker’s instructions decide.',
        ],
      });
    }
  }
  return { manoeuvres, madeFrom: madeFrom(wishes, open) };
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
