import type { RequestInput, RequestName } from '../../shared/contract/requests.ts';
import type {
  CheckState,
  Form,
  RoadProgress,
  ShopHistory,
  StartCheck,
  UnfinishedVisit,
  VisitWork,
} from '../../shared/contract/visit-work.ts';
import type { Source } from '../../shared/driveline/words.ts';
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
  /** @throws {RequestError} for the form to show at its field */
  startCheck(visitId: number | null, check: StartCheck): Promise<void>;
  flipSpokenPrompts(): void;
  /** Data addresses of pictures that a screen has shown, by attachment. */
  pictures: Record<number, string>;
  loadPicture(attachmentId: number): Promise<void>;
  /** @returns the attachment's number; @throws {RequestError} */
  addPicture(
    visitId: number | null,
    name: string,
    picture: { mediaType: 'image/jpeg' | 'image/png'; base64: string },
  ): Promise<number>;
  /** Prompts and progress along the visit's road card from now on; null ends it. */
  followCard(visitId: number | null): Promise<void>;
  /** Takes over what findings are kept of the visit; never analyses. */
  lookUpFindings(visitId: number): Promise<void>;
  /** What became of the shop's own decisions on this part; null when it cannot be told. */
  askHistory(source: Source, horizon_km: number): Promise<ShopHistory | null>;
}

export const workSlice =
  (client: Client): Slice<WorkSlice> =>
  (set, get) => ({
    work: null,
    unfinished: null,
    settings: defaultSettings(),
    settingsDraft: null,
    settingsKnown: false,
    check: { running: null, channel: null, progress: null, text: null },
    roadProgress: null,
    lastPrompt: null,
    spokenPrompts: true,
    pictures: {},

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
      await client.call('checks.start', { visitId, check });
    },
    flipSpokenPrompts: () => set({ spokenPrompts: !get().spokenPrompts }),
    async loadPicture(attachmentId) {
      if (attachmentId in get().pictures) return;
      await client.call('attachments.get', { attachmentId }).then(({ attachment, base64 }) => {
        const url = `data:${attachment.mediaType};base64,${base64}`;
        set({ pictures: { ...get().pictures, [attachmentId]: url } });
      }, get().fail);
    },
    async addPicture(visitId, name, picture) {
      const { id } = await client.call('attachments.add', { visitId, name, ...picture });
      const url = `data:${picture.mediaType};base64,${picture.base64}`;
      set({ pictures: { ...get().pictures, [id]: url } });
      return id;
    },
    async followCard(visitId) {
      await client.call('roadCard.follow', { visitId }).catch(get().fail);
    },
    askHistory: (source, horizon_km) =>
      client.call('work.history', { source, horizon_km }).catch((error) => {
        get().fail(error);
        return null;
      }),
    async lookUpFindings(visitId) {
      await client.call('findings.get', { visitId }).then((findings) => set({ findings }), get().fail);
    },
  });
