import type { SourceKind } from '../../shared/diagnosis/emission.ts';

/**
 * What each kind of source may be judged by, and in which sense. They keep the fit from learning what holds in a
 * simulator only: a part is never less suspected because it is louder itself, and nobody suspects an engine because
 * of the tread.
 */

const OWN_FAMILIES: Record<Exclude<SourceKind, 'none'>, readonly string[]> = {
  wheelBearing: ['wheelBearingDefect', 'otherDefect', 'wheelModulation'],
  tyre: ['wheelTurning', 'wheelMultiples', 'treadLines', 'wheelModulation'],
  differential: ['ownMesh', 'otherMesh', 'otherDefect', 'propModulation', 'wheelModulation', 'otherLines'],
  propshaft: ['propTurning', 'propModulation', 'otherDefect', 'otherLines'],
  transmission: ['otherLines', 'engineModulation', 'otherDefect', 'propModulation'],
  engine: ['engineUneven', 'engineFiring', 'otherLines', 'engineModulation', 'otherDefect'],
};
const FAMILIES = new Set(Object.values(OWN_FAMILIES).flat());
/** Parts whose load changes in a sway. */
const SWAYS: readonly SourceKind[] = ['wheelBearing', 'tyre'];

export type Sense = 'rising' | 'falling' | 'free';

/** Rising: more of it makes the suspect more probable. */
export function senseOf(feature: string, kind: SourceKind): Sense {
  if (kind === 'none') return 'falling';
  if (/\.(on|con|llr|med)$|^oct\d\.max$|^delay$|^coh\d\.rel$|^tone\.(low|count)$/.test(feature))
    return 'rising';
  if (/\.slope$|^tone\.else$/.test(feature)) return 'falling';
  return 'free';
}

export function mayUse(feature: string, kind: SourceKind): boolean {
  const [name, part] = feature.split('.') as [string, string | undefined];
  const ofTheWholeCar = part === 'peak' || part === 'all' || feature === 'tone.max';
  if (kind === 'none') return ofTheWholeCar || (part === 'max' && !name.startsWith('oct'));
  if (ofTheWholeCar) return false;
  if (!FAMILIES.has(name)) return true;
  if (!OWN_FAMILIES[kind].includes(name)) return false;
  return part !== 'sw' || SWAYS.includes(kind);
}
