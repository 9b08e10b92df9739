import type { SourceKind } from '../../shared/diagnosis/emission.ts';
import { OWN_FAMILIES } from '../../shared/diagnosis/judge/own-families.ts';
import { TONE_ORIGINS, type ToneOrigin } from '../../shared/diagnosis/tone-origin.ts';

/**
 * What each kind of source may be judged by, and in which sense. They keep the fit from learning what holds in a
 * simulator only: a part is never less suspected because it is louder itself, and nobody suspects an engine because
 * of the tread.
 */

const FAMILIES = new Set<string>(Object.values(OWN_FAMILIES).flat());
/** Parts on a hub, whose load changes in a sway. */
const ON_HUBS: readonly SourceKind[] = ['wheelBearing', 'tyre'];

/** Parts that turn with the engine whatever the road speed. */
const WITH_THE_ENGINE: readonly SourceKind[] = ['transmission', 'engine'];

/** Tones that each kind of part makes itself; on a hub any whole or odd order tells a tyre from a bearing. */
const OWN_TONES: Readonly<Record<SourceKind, readonly ToneOrigin[]>> = {
  none: [],
  wheelBearing: ['driveline', 'stray'],
  tyre: ['wheel'],
  differential: ['mesh', 'propshaft', 'gearboxOutput', 'driveline', 'stray'],
  propshaft: ['propshaft', 'driveline', 'stray'],
  transmission: ['propshaft', 'crank', 'gearboxInput', 'gearboxOutput', 'stray'],
  engine: ['crank', 'gearboxInput', 'stray'],
};
const TONES_ON_HUBS: readonly ToneOrigin[] = ['wheel', 'driveline', 'stray'];

/** The origin that a feature is about; null when it is about none. */
const originOf = (feature: string): ToneOrigin | null =>
  TONE_ORIGINS.find((origin) => feature.startsWith(`${origin}Tone.`)) ?? null;

export type Sense = 'rising' | 'falling' | 'free';

/** Rising: more of it makes the suspect more probable. */
export function senseOf(feature: string, kind: SourceKind): Sense {
  if (kind === 'none') return 'falling';
  if (/\.engine(Con)?$/.test(feature)) return WITH_THE_ENGINE.includes(kind) ? 'rising' : 'falling';
  const origin = originOf(feature);
  if (origin) return OWN_TONES[kind].includes(origin) ? 'rising' : 'free';
  if (/\.(on|con|alike|llr|med)$|^oct\d\.max$|^delay$|^coh\d\.rel$|^tone\.(low|count)$/.test(feature))
    return 'rising';
  if (/\.slope$|^tone\.else$/.test(feature)) return 'falling';
  return 'free';
}

export function mayUse(feature: string, kind: SourceKind): boolean {
  const [name, part] = feature.split('.') as [string, string | undefined];
  const ofTheWholeCar = part === 'peak' || part === 'all' || /tone\.max$/i.test(feature);
  if (kind === 'none') return ofTheWholeCar || (part === 'max' && !name.startsWith('oct'));
  if (ofTheWholeCar) return false;
  const origin = originOf(feature);
  if (origin)
    return OWN_TONES[kind].includes(origin) || (ON_HUBS.includes(kind) && TONES_ON_HUBS.includes(origin));
  if (!FAMILIES.has(name)) return true;
  if (!OWN_FAMILIES[kind].includes(name)) return false;
  return part !== 'sw' || ON_HUBS.includes(kind);
}
