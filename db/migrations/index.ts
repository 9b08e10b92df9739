import vehiclesVisitsRuns from './0001-vehicles-visits-runs.ts';
import search from './0002-search.ts';
import measures from './0003-measures.ts';
import bundleKeys from './0004-bundle-keys.ts';
import returningCar from './0005-returning-car.ts';
import visitWork from './0006-visit-work.ts';
import findings from './0007-findings.ts';

/** The schema's history; the version is the place in the list. A step that has been released is never changed. */
export const MIGRATIONS: readonly string[] = [
  vehiclesVisitsRuns,
  search,
  measures,
  bundleKeys,
  returningCar,
  visitWork,
  findings,
];
