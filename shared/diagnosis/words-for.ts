import type { DrivingState, Position, Source } from '../driveline/words.ts';

/** Places, parts and driving states as a customer would say them. */

const PLACE_WORDS: Record<string, string> = {
  'differential-rear-pinion': 'rear differential at the propshaft',
  'propshaft-centre-bearing': 'propshaft centre bearing',
  'transfer-case': 'transfer case',
  'engine-mount': 'engine mount',
  'subframe-rear': 'rear subframe',
  transmission: 'gearbox',
};

/** `hub-rear-left` as "rear left hub"; a name of the user's own stays as it is. */
export function placeName(position: Position): string {
  const fixed = PLACE_WORDS[position];
  if (fixed) return fixed;
  const hub = /^hub-(front|rear)-(left|right)$/.exec(position);
  if (hub) return `${hub[1]} ${hub[2]} hub`;
  const side = /^differential-(front|rear)-(left|right)$/.exec(position);
  if (side) return `${side[1]} differential on the ${side[2]}`;
  return position;
}

/** `wheel-bearing-front-left` as "front left wheel bearing". */
export function partName(source: Source): string {
  const corner = /^(wheel-bearing|tyre)-(front|rear)-(left|right)$/.exec(source);
  if (corner) return `${corner[2]} ${corner[3]} ${corner[1] === 'tyre' ? 'tyre' : 'wheel bearing'}`;
  const differential = /^differential-(front|rear)$/.exec(source);
  if (differential) return `${differential[1]} differential`;
  if (source === 'propshaft-centre-bearing') return 'propshaft centre bearing';
  if (source === 'transmission') return 'gearbox';
  if (source === 'none') return 'no fault';
  return source;
}

export const STATE_NAMES: Record<DrivingState, string> = {
  drive: 'under power',
  coast: 'on engine braking',
  float: 'without load',
  swayLeft: 'swaying left',
  swayRight: 'swaying right',
};

export function listOf(names: readonly string[], joint = 'and'): string {
  if (names.length <= 1) return names[0] ?? '';
  return `${names.slice(0, -1).join(', ')} ${joint} ${names[names.length - 1]}`;
}
