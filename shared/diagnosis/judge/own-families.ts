import type { SourceKind } from '../emission.ts';

/** What each kind of part can make, by the names that `family-evidence.ts` gives the families. */
export const OWN_FAMILIES: Readonly<Record<SourceKind, readonly string[]>> = {
  none: [],
  wheelBearing: ['wheelBearingDefect', 'otherDefect', 'wheelModulation'],
  tyre: ['wheelTurning', 'wheelMultiples', 'treadLines', 'wheelModulation'],
  differential: ['ownMesh', 'otherMesh', 'otherDefect', 'propModulation', 'wheelModulation', 'otherLines'],
  propshaft: ['propTurning', 'propModulation', 'otherDefect', 'otherLines'],
  transmission: ['otherLines', 'engineModulation', 'otherDefect', 'propModulation'],
  engine: ['engineUneven', 'engineFiring', 'otherLines', 'engineModulation', 'otherDefect'],
};
