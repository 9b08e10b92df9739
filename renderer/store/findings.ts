import type {
  AnalysisProgress,
  EvidencePlace,
  EvidenceSound,
  KeptFindings,
} from '../../shared/contract/findings-requests.ts';
import type { Message } from '../../shared/messages/message.ts';
import { toldOf } from '../../shared/messages/told-error.ts';
import type { Client } from '../transport/client.ts';
import type { Slice } from './slice.ts';

/** The findings of the visit that was looked at last. */
export interface FindingsSlice {
  findings: KeptFindings | null;
  /** The visit that is looked at: what comes in for another is not shown. */
  findingsVisit: number | null;
  /** The analysis under way, of whichever visit. */
  analysis: AnalysisProgress | null;
  /** Why there are no findings; one sentence. */
  findingsProblem: Message | null;
  /** What was cut out of the recording when the evidence was played last. */
  evidenceSound: (EvidenceSound & { visitId: number }) | null;
  /** The evidence is being cut out. */
  makingEvidence: boolean;

  /** Loads what is kept of a visit; analyses it where nothing is. */
  openFindings(visitId: number): Promise<void>;
  analyse(visitId: number): Promise<void>;
  cancelAnalysis(): Promise<void>;
  playEvidence(visitId: number, place: EvidencePlace): Promise<void>;
  setAnalysis(progress: AnalysisProgress): void;
}

export const findingsSlice =
  (client: Client): Slice<FindingsSlice> =>
  (set, get) => ({
    findings: null,
    findingsVisit: null,
    analysis: null,
    findingsProblem: null,
    evidenceSound: null,
    makingEvidence: false,

    async openFindings(visitId) {
      if (get().findings?.visitId !== visitId) set({ findings: null });
      set({ findingsVisit: visitId, findingsProblem: null });
      try {
        const findings = await client.call('findings.get', { visitId });
        if (get().findingsVisit !== visitId) return;
        if (findings) return set({ findings });
      } catch (error) {
        if (get().findingsVisit === visitId) set({ findingsProblem: toldOf(error) });
        return;
      }
      await get().analyse(visitId);
    },
    async analyse(visitId) {
      set({ analysis: { visitId, doing: 'analysing', share: 0 }, findingsProblem: null });
      try {
        const findings = await client.call('findings.analyse', { visitId });
        if (findings && get().findingsVisit === visitId) set({ findings });
      } catch (error) {
        if (get().findingsVisit === visitId) set({ findingsProblem: toldOf(error) });
      } finally {
        if (get().analysis?.visitId === visitId) set({ analysis: null });
      }
    },
    async cancelAnalysis() {
      const { analysis } = get();
      if (analysis) await client.call('findings.cancel', { visitId: analysis.visitId }).catch(get().fail);
    },
    async playEvidence(visitId, place) {
      if (get().makingEvidence) return;
      set({ makingEvidence: true });
      try {
        const sound = await client.call('findings.play', { visitId, place });
        set({ evidenceSound: { ...sound, visitId } });
      } catch (error) {
        get().fail(error);
      } finally {
        set({ makingEvidence: false });
      }
    },
    setAnalysis(progress) {
      if (get().analysis?.visitId === progress.visitId) set({ analysis: progress });
    },
  });
