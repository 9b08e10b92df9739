import type { RequestInput, RequestName } from '../../shared/contract/requests.ts';
import type {
  CheckState,
  Form,
  RoadProgress,
  StartCheck,
  UnfinishedVisit,
  VisitWork,
} from '../../shared/contract/visit-work.ts';
import type { Prompt } from '../../shared/road-card/manoeuvre.ts';
import { defaultSettings, type Settings } from '../../shared/visit-work/settings.ts';
import type { Client } from '../transport/client.ts';
import type { Slice } from './slice.ts';

/** Requests that are answered with the whole of the visit's work. */
type WorkRequest = Extract<
  RequestName,
  | `work.${'goTo' | 'skip' | 'finish' | 'saveIntake' | 'saveRigging' | 'saveInspection' | 'saveDecision'}`
  | `rigging.${'useCalibration' | 'markRelative'}`
  | 'roadCard.propose'
>;

/** The work around the measurement, as far as a screen has asked for it. */
export interface WorkSlice {
  work: VisitWork | null;
  /** Null until asked. */
  unfinished: UnfinishedVisit[] | null;
  settings: Settings;
  settingsDraft: unknown;
  settingsKnown: boolean;
  check: CheckState;
  /** While the card is followed; else the visit's own says how far it has been driven. */
  roadProgress: RoadProgress | null;
  lastPrompt: Prompt | null;
  /** Prompts are spoken by the computer's own voice; kept on this computer. */
  spokenPrompts: boolean;

  loadWork(visitId: number): Promise<void>;
  loadUnfinished(): Promise<void>;
  /** Null when refused; the reason is shown. */
  beginVisit(vehicleId: number | null): Promise<number | null>;
  /** @throws {RequestError} for the form to show at its field */
  changeWork<N extends WorkRequest>(name: N, input: RequestInput<N>): Promise<VisitWork>;
  keepDraft(visitId: number | null, form: Form, value: unknown): Promise<void>;
  clearDraft(visitId: number | null, form: Form): Promise<void>;
  loadSettings(): Promise<void>;
  /** @throws {RequestError} for the form to show at its field */
  saveSettings(settings: Settings): Promise<void>;
  startCheck(visitId: number | null, check: StartCheck): Promise<void>;
  flipSpokenPrompts(): void;
}

export const workSlice =
  (client: Client): Slice<WorkSlice> =>
  (set, get) => ({
    work: null,
    unfinished: null,
    settings: defaultSettings(),
    settingsDraft: null,
    settingsKnown: false,
    check: { running: null, channel: null, progress: null, text: '' },
    roadProgress: null,
    lastPrompt: null,
    spokenPrompts: true,

    async loadWork(visitId) {
      if (get().work?.visitId !== visitId) set({ work: null });
      await client.call('work.get', { visitId }).then((work) => set({ work }), get().fail);
    },
    async loadUnfinished() {
      await client.call('work.unfinished', null).then((unfinished) => set({ unfinished }), get().fail);
    },
    async beginVisit(vehicleId) {
      try {
        const work = await client.call('work.begin', { vehicleId });
        set({ work });
        return work.visitId;
      } catch (error) {
        get().fail(error);
        return null;
      }
    },
    async changeWork(name, input) {
      const work = (await client.call(name, input)) as VisitWork;
      set({ work });
      return work;
    },
    async keepDraft(visitId, form, value) {
      // A screen that is opened again before the next answer must find what was typed.
      const { work } = get();
      if (work && work.visitId === visitId)
        set({ work: { ...work, drafts: { ...work.drafts, [form]: value as never } } });
      else if (visitId === null) set({ settingsDraft: value });
      await client.call('drafts.save', { visitId, form, value: value as never }).catch(get().fail);
    },
    async clearDraft(visitId, form) {
      const { work } = get();
      if (work && work.visitId === visitId) {
        const { [form]: _, ...drafts } = work.drafts;
        set({ work: { ...work, drafts } });
      } else if (visitId === null) set({ settingsDraft: null });
      await client.call('drafts.clear', { visitId, form }).catch(get().fail);
    },
    async loadSettings() {
      await client
        .call('settings.get', null)
        .then(
          ({ settings, draft }) => set({ settings, settingsDraft: draft, settingsKnown: true }),
          get().fail,
        );
    },
    async saveSettings(settings) {
      set({ settings: await client.call('settings.save', { settings }), settingsDraft: null });
    },
    async startCheck(visitId, check) {
      await client.call('checks.start', { visitId, check }).catch(get().fail);
    },
    flipSpokenPrompts: () => set({ spokenPrompts: !get().spokenPrompts }),
  });
