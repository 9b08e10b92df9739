import type { Random } from '../../seeds/road-drive/random.ts';
import { type Driveline, runningGearNet } from '../../shared/diagnosis/graph.ts';
import type { Position, Source } from '../../shared/driveline/words.ts';

/**
 * Places of two to eight pickups in one to three runs, at random but for the last run: there one sits on the part that
 * is closed in on and, if there are more, one on what stands beside it.
 * @param aim none to close in on nothing
 */
export function closingIn(
  aim: Source,
  driveline: Driveline,
  places: readonly Position[],
  random: Random,
): Position[][] {
  const net = runningGearNet(driveline);
  const pickups = random.integer(2, 8);
  const runs = random.integer(1, 3);
  return Array.from({ length: runs }, (_, run) => {
    const chosen = new Set<Position>();
    if (run === runs - 1 && aim !== 'none') {
      const nearest = random
        .shuffle([...places])
        .sort((a, b) => net.path(aim, a).hops - net.path(aim, b).hops);
      chosen.add(nearest[0]!);
      const rival = nearest.find((place) => !net.isOn(aim, place));
      if (rival) chosen.add(rival);
    }
    for (const place of random.shuffle([...places])) if (chosen.size < pickups) chosen.add(place);
    return [...chosen];
  });
}
