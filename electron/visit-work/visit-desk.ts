import type { Garage } from '../../db/open.ts';
import type { LiveState } from '../../shared/contract/live.ts';
import type { RequestInput } from '../../shared/contract/requests.ts';
import type { RoadProgress, UnfinishedVisit, VisitWork } from '../../shared/contract/visit-work.ts';
import { type Decision, DecisionSchema, emptyDecision } from '../../shared/decision/decision.ts';
import { hardStops } from '../../shared/diagnosis/inspection.ts';
import { message } from '../../shared/messages/message.ts';
import { type FoundSegment, type RoadCard, RoadCardSchema } from '../../shared/road-card/manoeuvre.ts';
import { progressOf, stillMissing } from '../../shared/road-card/progress.ts';
import { proposeRoadCard } from '../../shared/road-card/propose.ts';
import { channelsOf } from '../../shared/visit-work/channels-of.ts';
import { emptyInspection, type Inspection, InspectionSchema } from '../../shared/visit-work/inspection.ts';
import { type Intake, IntakeSchema } from '../../shared/visit-work/intake.ts';
import { missingOf } from '../../shared/visit-work/missing.ts';
import { remindersOf } from '../../shared/visit-work/reminders.ts';
import { emptyRigging, type Rigging, RiggingSchema } from '../../shared/visit-work/rigging.ts';
import type { Pickup } from '../../shared/visit-work/settings.ts';
import { STEPS, type Step } from '../../shared/visit-work/steps.ts';
import { UNNAMED_SPEC } from '../../shared/visit-work/unnamed.ts';
import { intakeOf, vehicleAfterIntake } from '../../shared/visit-work/vehicle-of-intake.ts';
import { FieldError } from '../service/field-error.ts';
import { FoundSegments } from './found-segments.ts';
import { outcomeOf } from './outcome-of.ts';
import { saveSettings, settingsOf } from './shop-settings.ts';

const NOT_DRIVEN: RoadProgress = { following: false, current: null, manoeuvres: [], missing: [] };

const stepOfForm = (form: string): Step | null => STEPS.find((s) => s === form) ?? null;

/** What the desk follows of a recording. */
interface RecordingState {
  readonly recording: { readonly runId: number } | null;
  readonly speed: Pick<LiveState['speed'], 'from' | 'km_h'>;
}

/** The work on visits: what is noted, what is missing, where it stands. Everything is kept as soon as it is told. */
export class VisitDesk {
  readonly #garage: Garage;
  readonly #found: FoundSegments;
  readonly #followed: (visitId: number) => RoadProgress | null;
  /** The run that is being recorded, and whether a source other than the hand told its speed. */
  #recorded: { runId: number; byHand: boolean } | null = null;

  /** @param followed progress of a visit whose card is being followed at this moment */
  constructor(garage: Garage, followed: (visitId: number) => RoadProgress | null = () => null) {
    this.#garage = garage;
    this.#followed = followed;
    this.#found = new FoundSegments(garage);
  }

  begin(vehicleId: number | null): VisitWork {
    const garage = this.#garage;
    return garage.transaction(() => {
      const vehicle =
        vehicleId ?? garage.vehicles.add({ plate: '', vin: null, ownerNote: '', spec: UNNAMED_SPEC }).id;
      const startedAt = new Date().toISOString();
      const visit = garage.visits.start({ vehicleId: vehicle, startedAt, odometer_km: null, complaint: '' });
      garage.visitWork.change(visit.id, { step: 'intake' });
      return this.get(visit.id);
    });
  }

  unfinished(): UnfinishedVisit[] {
    return this.#garage.visitWork.unfinished().map(({ visitId, step, changedAt }) => {
      const vehicle = this.#garage.vehicles.get(this.#garage.visits.get(visitId).vehicleId);
      return { visitId, vehicleLabel: vehicle.spec.label, plate: vehicle.plate, step, changedAt };
    });
  }

  get(visitId: number): VisitWork {
    const garage = this.#garage;
    const place = garage.visitWork.place(visitId);
    const visit = garage.visits.get(visitId);
    const vehicle = garage.vehicles.get(visit.vehicleId);
    const intake = this.#intake(visitId);
    const rigging = this.#rigging(visitId);
    const inspection = this.#inspection(visitId);
    const decision = this.#decision(visitId);
    const checks = garage.riggingChecks.ofVisit(visitId);
    const settings = settingsOf(garage);
    const roadCard = this.roadCard(visitId);
    const roadProgress =
      this.#followed(visitId) ?? (roadCard ? this.drivenSoFar(visitId, roadCard) : NOT_DRIVEN);
    const done = garage.visitWork
      .savedForms(visitId)
      .map(stepOfForm)
      .filter((s) => s !== null);
    if (visit.runs.length > 0) done.push('drive');
    const skipped = place.skipped.filter((s) => !done.includes(s));
    return {
      visitId,
      vehicleId: vehicle.id,
      vehicleLabel: vehicle.spec.label,
      startedAt: visit.startedAt,
      step: place.step,
      finishedAt: place.finishedAt,
      intake,
      rigging,
      checks,
      roadCard,
      roadProgress,
      inspection,
      decision: decision ?? emptyDecision(),
      done,
      skipped,
      attachments: garage.attachments.ofVisit(visitId),
      missing: missingOf(intake),
      reminders: remindersOf({
        intake,
        rigging,
        checks: checks.map(({ result }) => ({
          check: result.check,
          verdict: result.verdict,
          ...('channel' in result && { channel: result.channel }),
        })),
        roadMissing: roadCard && roadProgress.missing,
        runs: visit.runs.length,
        inspection,
        decision: {
          chosen: decision?.chosen ?? null,
          nextCheck:
            decision !== null && (decision.nextCheck.date ?? decision.nextCheck.odometer_km) !== null,
        },
        skipped,
        calibrated: channelsOf(rigging, settings)
          .filter((c) => c.role === 'vibration' && c.fullScale_m_s2 !== null)
          .map((c) => c.channel),
        earlierOdometer_km: this.#earlierOdometer(visit.vehicleId, visitId),
        at: new Date(visit.startedAt),
      }),
      drafts: garage.drafts.ofVisit(visitId) as VisitWork['drafts'],
    };
  }

  goTo(visitId: number, step: Step): VisitWork {
    const { step: before } = this.#garage.visitWork.place(visitId);
    return this.#garage.transaction(() => {
      // Findings and report have no form: who has looked at them and goes on is done with them.
      if (before !== step && (before === 'findings' || before === 'report')) {
        this.#garage.visitWork.saveForm(visitId, before, {});
      }
      this.#garage.visitWork.change(visitId, { step });
      return this.get(visitId);
    });
  }

  skip(visitId: number, step: Step, skipped: boolean): VisitWork {
    const others = this.#garage.visitWork.place(visitId).skipped.filter((s) => s !== step);
    this.#garage.visitWork.change(visitId, { skipped: skipped ? [...others, step] : others });
    return this.get(visitId);
  }

  finish(visitId: number, finished: boolean): VisitWork {
    this.#garage.visitWork.change(visitId, { finishedAt: finished ? new Date().toISOString() : null });
    return this.get(visitId);
  }

  saveIntake(visitId: number, intake: Intake): VisitWork {
    const garage = this.#garage;
    const { vehicleId } = garage.visits.get(visitId);
    const vehicle = garage.vehicles.get(vehicleId);
    return garage.transaction(() => {
      const { plate, vin, spec } = vehicleAfterIntake(vehicle, this.#intake(visitId), intake);
      garage.visitWork.describeVisit(visitId, intake.ownerWords, intake.odometer_km);
      garage.vehicles.change(vehicleId, { plate, vin, ownerNote: vehicle.ownerNote, spec });
      return this.#saved(visitId, 'intake', intake);
    });
  }

  saveRigging(visitId: number, rigging: Rigging): VisitWork {
    const known = this.#pickups().map((p) => p.name);
    const unknown = rigging.channels.findIndex((c) => c.pickup !== null && !known.includes(c.pickup));
    if (unknown >= 0) {
      throw new FieldError(
        `rigging.channels.${unknown}.pickup`,
        message('error.pickupUnknown', { pickup: rigging.channels[unknown]!.pickup }),
      );
    }
    return this.#garage.transaction(() => this.#saved(visitId, 'rigging', rigging));
  }

  saveInspection(visitId: number, inspection: Inspection): VisitWork {
    const photos = new Set(this.#garage.attachments.ofVisit(visitId).map((a) => a.id));
    const strange = inspection.units.findIndex((u) => u.photoId !== null && !photos.has(u.photoId));
    if (strange >= 0) {
      throw new FieldError(`inspection.units.${strange}.photoId`, message('error.photoOfAnother'));
    }
    return this.#garage.transaction(() => {
      const before = outcomeOf(this.#decision(visitId), this.#inspection(visitId));
      this.#saved(visitId, 'inspection', inspection);
      this.#tellOutcome(visitId, before);
      return this.get(visitId);
    });
  }

  saveDecision(visitId: number, decision: Decision): VisitWork {
    const [stop] = hardStops(this.#inspection(visitId));
    if (stop && (decision.chosen === 'watch' || decision.chosen === 'nothing')) {
      throw new FieldError('decision.chosen', stop.text);
    }
    return this.#garage.transaction(() => {
      const before = outcomeOf(this.#decision(visitId), this.#inspection(visitId));
      this.#saved(visitId, 'decision', decision);
      this.#tellOutcome(visitId, before);
      return this.get(visitId);
    });
  }

  propose(input: RequestInput<'roadCard.propose'>): VisitWork {
    const { visitId, open, neutralAllowed, limit_km_h } = input;
    const { heard, driveline } = this.#intake(visitId);
    const { layout, electricDrive } = driveline;
    const card = proposeRoadCard({ heard, layout, electricDrive, open, neutralAllowed, limit_km_h });
    return this.#garage.transaction(() => this.#saved(visitId, 'roadCard', card));
  }

  roadCard(visitId: number): RoadCard | null {
    return this.#garage.visitWork.form(visitId, 'roadCard', RoadCardSchema);
  }

  /** What the runs of the visit have brought for its card. */
  drivenSoFar(visitId: number, card: RoadCard): RoadProgress {
    const found = this.#garage.visits.get(visitId).runs.flatMap((run) => this.#found.of(run));
    const manoeuvres = progressOf(card, found);
    const missing = stillMissing(card, manoeuvres);
    return { following: false, current: null, manoeuvres, missing };
  }

  segments(runId: number): FoundSegment[] {
    return this.#found.of(this.#garage.runs.get(runId));
  }

  /** The last good calibration of the channel becomes its pickup's, on this interface and channel. */
  useCalibration(visitId: number, channel: number): VisitWork {
    const garage = this.#garage;
    const rigging = this.#rigging(visitId);
    const placed = rigging.channels.find((c) => c.channel === channel);
    const { interfaceName } = rigging;
    if (!placed?.pickup || interfaceName === null) {
      throw new FieldError('channel', message('error.calibrateWhat', { channel }));
    }
    const kept = garage.riggingChecks
      .ofVisit(visitId)
      .find(({ result }) => result.check === 'calibration' && result.channel === channel);
    if (kept?.result.check !== 'calibration' || kept.result.fullScale_m_s2 === null) {
      throw new FieldError('channel', message('error.calibrationRefused', { channel }));
    }
    const calibration = { interfaceName, channel, fullScale_m_s2: kept.result.fullScale_m_s2, at: kept.at };
    const settings = settingsOf(garage);
    const withIt = (pickup: Pickup): Pickup =>
      pickup.name === placed.pickup
        ? { ...pickup, calibrations: [...pickup.calibrations, calibration].slice(-500) }
        : pickup;
    return garage.transaction(() => {
      const sets = settings.pickupSets.map((set) => ({ ...set, pickups: set.pickups.map(withIt) }));
      saveSettings(garage, { ...settings, pickupSets: sets });
      return this.markRelative(visitId, channel, false);
    });
  }

  markRelative(visitId: number, channel: number, relative: boolean): VisitWork {
    const rigging = this.#rigging(visitId);
    if (!rigging.channels.some((c) => c.channel === channel)) {
      throw new FieldError('channel', message('error.channelWithoutPickup', { channel }));
    }
    const channels = rigging.channels.map((c) => (c.channel === channel ? { ...c, relative } : c));
    this.#garage.visitWork.saveForm(visitId, 'rigging', { ...rigging, channels });
    return this.get(visitId);
  }

  /** A picture goes; no finding points to it any more. */
  forgetPhoto(visitId: number, attachmentId: number): void {
    const inspection = this.#inspection(visitId);
    const units = inspection.units.map((u) => (u.photoId === attachmentId ? { ...u, photoId: null } : u));
    if (units.every((u, i) => u.photoId === inspection.units[i]!.photoId)) return;
    this.#garage.visitWork.saveForm(visitId, 'inspection', { ...inspection, units });
  }

  /** Follows the recording: when it has ended, it is cut at its steady stretches. */
  onLiveState({ recording, speed }: RecordingState): void {
    if (recording) {
      const byHand = speed.km_h === null || speed.from === 'hand';
      const before = this.#recorded?.runId === recording.runId ? this.#recorded.byHand : true;
      // A speed that was typed in says what the driver meant to do, not what he did.
      this.#recorded = { runId: recording.runId, byHand: before && byHand };
      return;
    }
    const recorded = this.#recorded;
    if (!recorded || this.#garage.runs.get(recorded.runId).state === 'recording') return;
    this.#recorded = null;
    if (!recorded.byHand) this.#found.cut(recorded.runId);
  }

  #saved(
    visitId: number,
    form: 'intake' | 'rigging' | 'roadCard' | 'inspection' | 'decision',
    content: unknown,
  ) {
    this.#garage.visitWork.saveForm(visitId, form, content);
    this.#garage.drafts.clear(visitId, form);
    return this.get(visitId);
  }

  #tellOutcome(visitId: number, before: ReturnType<typeof outcomeOf>): void {
    const outcome = outcomeOf(this.#decision(visitId), this.#inspection(visitId));
    if (outcome || before) this.#garage.outcomes.set(visitId, outcome);
  }

  #intake(visitId: number): Intake {
    const visit = this.#garage.visits.get(visitId);
    const saved = this.#garage.visitWork.form(visitId, 'intake', IntakeSchema);
    return intakeOf(this.#garage.vehicles.get(visit.vehicleId), { ...visit, saved });
  }

  #rigging = (visitId: number): Rigging =>
    this.#garage.visitWork.form(visitId, 'rigging', RiggingSchema) ?? emptyRigging();

  #inspection = (visitId: number): Inspection =>
    this.#garage.visitWork.form(visitId, 'inspection', InspectionSchema) ?? emptyInspection();

  #decision = (visitId: number): Decision | null =>
    this.#garage.visitWork.form(visitId, 'decision', DecisionSchema);

  #pickups = (): Pickup[] => settingsOf(this.#garage).pickupSets.flatMap((set) => set.pickups);

  #earlierOdometer(vehicleId: number, visitId: number): number | null {
    const { visits } = this.#garage.vehicles.page(vehicleId);
    const earlier = visits.slice(visits.findIndex((v) => v.id === visitId) + 1);
    return earlier.find((v) => v.odometer_km !== null)?.odometer_km ?? null;
  }
}
