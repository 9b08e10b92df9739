import { existsSync } from 'node:fs';
import { dirname } from 'node:path';
import BetterSqlite3 from 'better-sqlite3';
import { message } from '../shared/messages/message.ts';
import { type Attachments, attachmentsOf } from './attachments.ts';
import { type BundleKeys, bundleKeysOf } from './bundle-keys.ts';
import { type Database, durably } from './database.ts';
import { type Drafts, draftsOf } from './drafts.ts';
import { GarageError, garageError } from './error.ts';
import { type FindingsTable, findingsOf } from './findings.ts';
import { type Measures, measuresOf } from './measures.ts';
import { migrate } from './migrate.ts';
import { type OrderSpectra, orderSpectraOf } from './order-spectra.ts';
import { type Outcomes, outcomesOf } from './outcomes.ts';
import { type RiggingChecks, riggingChecksOf } from './rigging-checks.ts';
import { type Runs, runsOf } from './runs.ts';
import { searchOf } from './search.ts';
import { type Settings, settingsOf } from './settings.ts';
import { type Vehicles, vehiclesOf } from './vehicles.ts';
import { type VisitWorkTable, visitWorkOf } from './visit-work.ts';
import { type Visits, visitsOf } from './visits.ts';
import { type WearLimits, wearLimitsOf } from './wear-limits.ts';

/** The garage's database: every vehicle with its visits, the runs of a visit and what was measured in them. */
export interface Garage {
  readonly path: string;
  readonly db: Database;
  readonly vehicles: Vehicles;
  readonly visits: Visits;
  readonly runs: Runs;
  readonly measures: Measures;
  readonly orderSpectra: OrderSpectra;
  readonly outcomes: Outcomes;
  readonly wearLimits: WearLimits;
  readonly settings: Settings;
  readonly bundleKeys: BundleKeys;
  readonly visitWork: VisitWorkTable;
  readonly findings: FindingsTable;
  readonly drafts: Drafts;
  readonly riggingChecks: RiggingChecks;
  readonly attachments: Attachments;
  /** Several changes as one: all of them stand, or none; once it has returned, a power cut takes none of them. */
  transaction<T>(work: () => T): T;
  close(): void;
}

/** How long a statement waits for another process that holds the file, e.g. the command line beside the app. */
const BUSY_TIMEOUT_ms = 2000;

/**
 * Opens the garage's file, makes it if it is not there, and brings an older one to the newest schema.
 * @throws {GarageError} one sentence for the user, with the cause; the file is left as it was
 */
export function openGarage(path: string): Garage {
  if (!existsSync(dirname(path))) {
    throw new GarageError(message('error.garageFolder', { folder: dirname(path) }));
  }
  let db: Database | undefined;
  try {
    db = new BetterSqlite3(path);
    db.pragma(`busy_timeout = ${BUSY_TIMEOUT_ms}`);
    migrate(db);
    // Only now: changing the journal is the first thing that writes to a file that needs no migration.
    db.pragma('journal_mode = WAL');
    db.pragma('synchronous = NORMAL');
    db.pragma('foreign_keys = ON');
    return garageOn(db, path);
  } catch (cause) {
    db?.close();
    throw garageError(cause, path);
  }
}

function garageOn(db: Database, path: string): Garage {
  const runs = runsOf(db);
  const search = searchOf(db);
  return {
    path,
    db,
    runs,
    vehicles: vehiclesOf(db, search),
    visits: visitsOf(db, search, runs),
    measures: measuresOf(db),
    orderSpectra: orderSpectraOf(db),
    outcomes: outcomesOf(db, search),
    wearLimits: wearLimitsOf(db),
    settings: settingsOf(db),
    bundleKeys: bundleKeysOf(db),
    visitWork: visitWorkOf(db),
    findings: findingsOf(db),
    drafts: draftsOf(db),
    riggingChecks: riggingChecksOf(db),
    attachments: attachmentsOf(db),
    transaction: (work) => durably(db, work),
    close: () => db.close(),
  };
}
