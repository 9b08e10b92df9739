import type { Position, Source } from '../driveline/words.ts';
import { type Message, message } from '../messages/message.ts';
import { kindOf } from './emission.ts';
import { expectedInformation } from './expected-information.ts';
import type { NextPlacement } from './findings.ts';
import { usefulPositions } from './graph.ts';
import type { Posterior, PriorKnowledge } from './posterior.ts';
import { axleBetween, SURE, smallestSet } from './verdict.ts';

/** A place heard once more keeps its path's own deviation: little of what it says is new. */
const HEARD_BEFORE = 0.3;
/** The two first suspects are rivals when each is at least this probable. */
const RIVAL = 0.1;

/**
 * The best places for the pickups at hand, each with what it adds to those before it.
 * @param pickups how many there are, at least one
 * @param heardInRuns for each run the places where a sound pickup has been
 * @param louder places that were clearly louder than the first suspect's own, the reason why it is not settled
 */
export function nextPlacements(
  after: Posterior,
  known: PriorKnowledge,
  pickups: number,
  heardInRuns: readonly (readonly Position[])[],
  louder: readonly Position[],
): NextPlacement[] {
  const { net, probabilities } = after;
  const visited = [...new Set(heardInRuns.flat())];
  const places = usefulPositions(known);
  const ranked = [...probabilities].sort((a, b) => b[1] - a[1]);
  const gainOf = expectedInformation(after, places);

  const chosen: number[] = [];
  const result: NextPlacement[] = [];
  const take = (index: number, gain_bits: number, why: Message): void => {
    chosen.push(index);
    result.push({ position: places[index]!, gain_bits: Math.max(0, gain_bits), why });
  };
  /** Takes the most telling place on a part, if a pickup is left for it. */
  const takeOn = (part: Source, why: (place: Position) => Message): void => {
    if (result.length >= pickups) return;
    const on = places.flatMap((place, i) => (net.isOn(part, place) && !chosen.includes(i) ? [i] : []));
    const best = bestOf(on, chosen, gainOf);
    if (best) take(best.index, best.gain, why(places[best.index]!));
  };

  // A part that another place outdoes: more places would only tell again what is all but certain, but a poor mounting
  // shows when it is made anew.
  const outdoing = louder.find((place) => places.includes(place));
  if (outdoing) {
    const [part] = ranked[0]!;
    const why = message('next.clampAgain', { part, place: outdoing });
    const onPart = places.flatMap((place, i) =>
      visited.includes(place) && net.isOn(part, place) ? [i] : [],
    );
    for (const candidates of [onPart, [places.indexOf(outdoing)]]) {
      const best = bestOf(candidates, chosen, gainOf);
      if (best && result.length < pickups) take(best.index, best.gain, why);
    }
  }
  // Where both hubs of a driven axle were heard and the noise may come from that axle, the axle comes first.
  for (const between of axlesHeardFromHubs(probabilities, visited, net)) {
    takeOn(between, (place) => message('next.axleBetween', { place }));
  }
  // A part that is all but certain must still be heard on itself, and so must the axle that could fool us.
  for (const [source, p] of ranked) {
    if (result.length >= pickups || p < 0.3 || source === 'none') continue;
    const possible = [...probabilities].flatMap(([s, q]) => (q > 0 ? [s] : []));
    const between = axleBetween(source, possible);
    const needed: { part: Source; why: Message }[] = [];
    if (between) {
      needed.push({
        part: between,
        why: message('next.soundAlike', { part: source, axle: between }),
      });
    }
    needed.push({ part: source, why: message('next.suspectedMost', { part: source }) });
    for (const { part, why } of needed) {
      const heard = [...visited, ...result.map((r) => r.position)];
      if (!heard.some((v) => net.isOn(part, v))) takeOn(part, () => why);
    }
  }
  // Two rivals that were never heard in one run: side by side, neither a mounting nor another drive lies between them.
  const rivals = ranked.filter(([source, p]) => source !== 'none' && p >= RIVAL).slice(0, 2);
  const inOneRun = (heard: readonly Position[]): boolean =>
    rivals.every(([source]) => heard.some((place) => net.isOn(source, place)));
  if (rivals.length === 2 && !heardInRuns.some(inOneRun)) {
    const why = message('next.sideBySide', { parts: rivals.map(([source]) => source) });
    for (const [source] of rivals) {
      if (!result.some((r) => net.isOn(source, r.position))) takeOn(source, () => why);
    }
  }
  while (result.length < Math.min(pickups, places.length)) {
    const best = bestOf(
      places.map((_, i) => i).filter((i) => !chosen.includes(i)),
      chosen,
      gainOf,
      (i) => (visited.includes(places[i]!) ? HEARD_BEFORE : 1),
    );
    if (!best) break;
    take(best.index, best.gain, reasonFor(places[best.index]!, after, visited));
  }
  return result;
}

/** A source elsewhere that was heard first hand and is this probable is followed first. */
const FOLLOWED_FIRST = 0.5;

/**
 * Differentials that no pickup has been on though both hubs of their axle were heard, the more suspected axle first.
 * Hubs alone cannot tell a bearing from the axle between them, so the axle is heard next unless the noise is traced to
 * another part that a pickup was on.
 */
function axlesHeardFromHubs(
  probabilities: ReadonlyMap<Source, number>,
  visited: readonly Position[],
  net: Posterior['net'],
): Source[] {
  const p = (source: Source): number => probabilities.get(source) ?? 0;
  const axles = (['front', 'rear'] as const).map((axle) => {
    const bearings = (['left', 'right'] as const).map((side) => `wheel-bearing-${axle}-${side}` as const);
    const own: Source[] = [`differential-${axle}`, ...bearings];
    return { axle, own, suspected: own.reduce((sum, s) => sum + p(s), 0) };
  });
  return axles
    .filter(({ axle, own }) => {
      const differential = own[0]!;
      const hubs = (['left', 'right'] as const).map((side) => `hub-${axle}-${side}`);
      if (p(differential) === 0 || !hubs.every((hub) => visited.includes(hub))) return false;
      if (visited.some((v) => net.isOn(differential, v))) return false;
      const traced = [...probabilities].find(([s, q]) => s !== 'none' && q >= FOLLOWED_FIRST)?.[0];
      return !traced || own.includes(traced) || !visited.some((v) => net.isOn(traced, v));
    })
    .sort((a, b) => b.suspected - a.suspected)
    .map(({ own }) => own[0]!);
}

function bestOf(
  candidates: readonly number[],
  chosen: readonly number[],
  gainOf: (chosen: readonly number[]) => number,
  newness: (index: number) => number = () => 1,
): { index: number; gain: number } | null {
  const before = chosen.length > 0 ? gainOf(chosen) : 0;
  let best: { index: number; gain: number } | null = null;
  for (const index of candidates) {
    const gain = (gainOf([...chosen, index]) - before) * newness(index);
    if (!best || gain > best.gain) best = { index, gain };
  }
  return best;
}

function reasonFor(position: Position, after: Posterior, visited: readonly Position[]): Message {
  const { net, probabilities } = after;
  const set = smallestSet(probabilities, SURE).filter((s) => s !== 'none');
  const here = set.filter((s) => net.isOn(s, position));
  const others = set.filter((s) => !here.includes(s)).slice(0, 2);
  if (here.length === 0) {
    const near = [...set].sort((a, b) => net.path(a, position).hops - net.path(b, position).hops);
    return near.length >= 2
      ? message('next.parts', { place: position, nearest: near[0]!, farthest: near.at(-1)! })
      : message('next.onTheWay', { place: position });
  }
  const hubs = visited.filter((v) => v.startsWith('hub-'));
  if (here.some((s) => kindOf(s) === 'differential') && hubs.length >= 2) {
    return message('next.axleBetween', { place: position });
  }
  const against = others.length > 0 ? message('next.against', { parts: others }) : null;
  return message(visited.includes(position) ? 'next.again' : 'next.firstHand', { parts: here, against });
}
