import type { BundleChannel, Segment, SpeedReadings } from '../shared/bundle/visit.ts';
import type {
  Gap,
  Mark,
  OrderLine,
  Run,
  RunHistory,
  RunSecond,
  RunStart,
} from '../shared/contract/garage.ts';
import { message } from '../shared/messages/message.ts';
import { type Database, durably, inTransaction } from './database.ts';
import { GarageError } from './error.ts';
import { blobOf, floatsOf } from './float-blob.ts';

interface RunRecord {
  id: number;
  visit_id: number;
  started_at: string;
  file: string;
  sample_rate_Hz: number;
  frames: number;
  state: Run['state'];
}

interface SecondRecord {
  second: number;
  speed_km_h: number | null;
  rms: Uint8Array;
  peak: Uint8Array;
  orders: Uint8Array;
}

type Definition = { definition: string };

const known = (value: number): number | null => (Number.isNaN(value) ? null : value);

const RUN_COLUMNS = 'id, visit_id, started_at, file, sample_rate_Hz, frames, state';

export function runsOf(db: Database) {
  const selectVisit = db.prepare<[number], { id: number }>('SELECT id FROM visit WHERE id = ?');
  const insert = db.prepare<[number, string, string, number]>(
    'INSERT INTO run (visit_id, started_at, file, sample_rate_Hz) VALUES (?, ?, ?, ?)',
  );
  const insertChannel = db.prepare<[number, number, string]>(
    'INSERT INTO run_channel (run_id, ordinal, definition) VALUES (?, ?, ?)',
  );
  const insertOrderLine = db.prepare<[number, number, string, string, string, number]>(
    'INSERT INTO run_order_line (run_id, ordinal, part, label, shaft, "order") VALUES (?, ?, ?, ?, ?, ?)',
  );
  const insertSegment = db.prepare<[number, string]>(
    'INSERT INTO run_segment (run_id, definition) VALUES (?, ?)',
  );
  const deleteSegments = db.prepare<[number]>('DELETE FROM run_segment WHERE run_id = ?');
  const insertMark = db.prepare<[number, number, string]>(
    'INSERT INTO run_mark (run_id, at_s, text) VALUES (?, ?, ?)',
  );
  const insertGap = db.prepare<[number, number, number]>(
    'INSERT INTO run_gap (run_id, first_frame, frames) VALUES (?, ?, ?)',
  );
  // Two readings for one moment, or a second told twice: the later one counts.
  const insertSpeed = db.prepare<[number, number, number]>(
    'INSERT OR REPLACE INTO run_speed (run_id, t_s, v_km_h) VALUES (?, ?, ?)',
  );
  const insertSecond = db.prepare<[number, number, number | null, Buffer, Buffer, Buffer]>(
    'INSERT OR REPLACE INTO run_second (run_id, second, speed_km_h, rms, peak, orders) VALUES (?, ?, ?, ?, ?, ?)',
  );
  const updateEnd = db.prepare<[number, string, number]>(
    `UPDATE run SET frames = ?, state = ? WHERE id = ? AND state = 'recording'`,
  );
  const updateLoudest = db.prepare<[number | null, number, number]>(
    'UPDATE run_channel SET loudest_rms = ? WHERE run_id = ? AND ordinal = ?',
  );

  const select = db.prepare<[number], RunRecord>(`SELECT ${RUN_COLUMNS} FROM run WHERE id = ?`);
  const selectOfVisit = db.prepare<[number], RunRecord>(
    `SELECT ${RUN_COLUMNS} FROM run WHERE visit_id = ? ORDER BY unixepoch(started_at), id`,
  );
  const selectUnfinished = db.prepare<[], RunRecord>(
    `SELECT ${RUN_COLUMNS} FROM run WHERE state = 'recording' ORDER BY id`,
  );
  const selectFiles = db.prepare<[], { file: string }>('SELECT file FROM run');
  const selectChannels = db.prepare<[number], Definition>(
    'SELECT definition FROM run_channel WHERE run_id = ? ORDER BY ordinal',
  );
  const selectOrderLines = db.prepare<[number], OrderLine>(
    'SELECT part, label, shaft, "order" FROM run_order_line WHERE run_id = ? ORDER BY ordinal',
  );
  const selectSegments = db.prepare<[number], Definition>(
    'SELECT definition FROM run_segment WHERE run_id = ? ORDER BY from_s, id',
  );
  const selectMarks = db.prepare<[number], Mark>(
    'SELECT at_s, text FROM run_mark WHERE run_id = ? ORDER BY at_s, id',
  );
  const selectGaps = db.prepare<[number], { first_frame: number; frames: number }>(
    'SELECT first_frame, frames FROM run_gap WHERE run_id = ? ORDER BY first_frame',
  );
  const selectSpeed = db.prepare<[number], { t_s: number; v_km_h: number }>(
    'SELECT t_s, v_km_h FROM run_speed WHERE run_id = ? ORDER BY t_s',
  );
  const selectSeconds = db.prepare<[number], SecondRecord>(
    'SELECT second, speed_km_h, rms, peak, orders FROM run_second WHERE run_id = ? ORDER BY second',
  );
  const selectRms = db.prepare<[number], Pick<SecondRecord, 'rms'>>(
    'SELECT rms FROM run_second WHERE run_id = ?',
  );
  const selectSizes = db.prepare<[number, number], { channels: number; lines: number }>(
    `SELECT (SELECT count(*) FROM run_channel WHERE run_id = ?) AS channels,
            (SELECT count(*) FROM run_order_line WHERE run_id = ?) AS lines`,
  );

  const runFrom = (row: RunRecord): Run => ({
    id: row.id,
    visitId: row.visit_id,
    startedAt: row.started_at,
    file: row.file,
    sampleRate_Hz: row.sample_rate_Hz,
    frames: row.frames,
    state: row.state,
    channels: selectChannels.all(row.id).map((c): BundleChannel => JSON.parse(c.definition)),
    segments: selectSegments.all(row.id).map((s): Segment => JSON.parse(s.definition)),
    orderLines: selectOrderLines
      .all(row.id)
      .map(({ part, label, shaft, order }) => ({ part, label, shaft, order })),
    marks: selectMarks.all(row.id).map(({ at_s, text }) => ({ at_s, text })),
    gaps: selectGaps.all(row.id).map((g) => ({ firstFrame: g.first_frame, frames: g.frames })),
  });

  /** @throws {GarageError} when there is no such run */
  function get(runId: number): Run {
    const row = select.get(runId);
    if (!row) throw new GarageError(message('error.notInGarage.run'));
    return runFrom(row);
  }

  /**
   * Finds the loudest second of each channel, so that a vehicle's page need not read every second of every visit.
   * The end of a run does so by itself; seconds that are replaced later need it again.
   */
  function summarise(runId: number): void {
    const loudest: number[] = [];
    for (const { rms } of selectRms.iterate(runId)) {
      for (const [c, value] of floatsOf(rms).entries()) loudest[c] = Math.max(loudest[c] ?? 0, value);
    }
    for (const [ordinal, value] of loudest.entries()) updateLoudest.run(value, runId, ordinal);
  }

  function end(runId: number, frames: number, state: 'complete' | 'repaired'): Run {
    return durably(db, () => {
      if (updateEnd.run(frames, state, runId).changes === 0) {
        get(runId);
        throw new GarageError(message('error.runFinished'));
      }
      summarise(runId);
      return get(runId);
    });
  }

  return {
    get,
    summarise,

    /** The runs of a visit in the order in which they were driven. */
    ofVisit: (visitId: number): Run[] => selectOfVisit.all(visitId).map(runFrom),

    /** Names of all recordings that a run speaks of. */
    files: (): Set<string> => new Set(selectFiles.all().map((row) => row.file)),

    /** Runs that were being recorded when the program ended: to be repaired at start-up. */
    unfinished: (): Run[] => selectUnfinished.all().map(runFrom),

    /** @throws {GarageError} when there is no such visit */
    start(input: RunStart): Run {
      return durably(db, () => {
        if (!selectVisit.get(input.visitId)) throw new GarageError(message('error.notInGarage.visit'));
        const { lastInsertRowid } = insert.run(
          input.visitId,
          input.startedAt,
          input.file,
          input.sampleRate_Hz,
        );
        const runId = Number(lastInsertRowid);
        for (const [i, channel] of input.channels.entries()) {
          insertChannel.run(runId, i, JSON.stringify(channel));
        }
        for (const [i, line] of input.orderLines.entries()) {
          insertOrderLine.run(runId, i, line.part, line.label, line.shaft, line.order);
        }
        return get(runId);
      });
    },

    /**
     * Adds recorded seconds, all or none.
     * @throws {RangeError} when an array's length does not fit the run's channels and order lines
     */
    appendSeconds(runId: number, seconds: readonly RunSecond[]): void {
      inTransaction(db, () => {
        const { channels, lines } = selectSizes.get(runId, runId)!;
        for (const s of seconds) {
          if (
            s.rms.length !== channels ||
            s.peak.length !== channels ||
            s.orders.length !== channels * lines
          ) {
            throw new RangeError(
              `second ${s.second} of run ${runId}: expected ${channels} channels and ${lines} order lines`,
            );
          }
          insertSecond.run(runId, s.second, s.speed_km_h, blobOf(s.rms), blobOf(s.peak), blobOf(s.orders));
        }
      });
    },

    addMark(runId: number, mark: Mark): void {
      insertMark.run(runId, mark.at_s, mark.text);
    },

    addGap(runId: number, gap: Gap): void {
      insertGap.run(runId, gap.firstFrame, gap.frames);
    },

    addSegment(runId: number, segment: Segment): void {
      insertSegment.run(runId, JSON.stringify(segment));
    },

    /** The stretches that were found take the place of those that were keyed, all or none. */
    replaceSegments(runId: number, segments: readonly Segment[]): void {
      durably(db, () => {
        deleteSegments.run(runId);
        for (const segment of segments) insertSegment.run(runId, JSON.stringify(segment));
      });
    },

    /** Speed as a satellite receiver, a vehicle bus or an imported bundle told it. */
    addSpeed(runId: number, readings: SpeedReadings): void {
      inTransaction(db, () => {
        for (const [i, t_s] of readings.t_s.entries()) insertSpeed.run(runId, t_s, readings.v_km_h[i]!);
      });
    },

    speed(runId: number): SpeedReadings {
      const rows = selectSpeed.all(runId);
      return { t_s: rows.map((r) => r.t_s), v_km_h: rows.map((r) => r.v_km_h) };
    },

    /**
     * The recording is closed and has `frames` frames.
     * @throws {GarageError} when the run is not being recorded
     */
    finish: (runId: number, frames: number): Run => end(runId, frames, 'complete'),

    /**
     * The program ended or the disk failed while this run was recorded; `frames` is what its file still holds.
     * @throws {GarageError} when the run is not being recorded
     */
    markRepaired: (runId: number, frames: number): Run => end(runId, frames, 'repaired'),

    /** The run with its seconds as the screens draw them. */
    history(runId: number): RunHistory {
      const run = get(runId);
      const rows = selectSeconds.all(runId);
      const rms = rows.map((row) => floatsOf(row.rms));
      const peak = rows.map((row) => floatsOf(row.peak));
      const orders = rows.map((row) => floatsOf(row.orders));
      const lines = run.orderLines.length;
      return {
        run,
        second: rows.map((row) => row.second),
        speed_km_h: rows.map((row) => row.speed_km_h),
        rms: run.channels.map((_, c) => rms.map((values) => values[c]!)),
        peak: run.channels.map((_, c) => peak.map((values) => values[c]!)),
        orders: run.orderLines.map((_, l) =>
          run.channels.map((_, c) => orders.map((values) => known(values[c * lines + l]!))),
        ),
      };
    },
  };
}
export type Runs = ReturnType<typeof runsOf>;
