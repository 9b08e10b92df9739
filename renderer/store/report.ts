import type { ReportFormat } from '../../shared/contract/report-requests.ts';
import type { Message } from '../../shared/messages/message.ts';
import { toldOf } from '../../shared/messages/told-error.ts';
import type { Client } from '../transport/client.ts';
import type { Slice } from './slice.ts';

interface ReportOfVisit {
  readonly visitId: number;
  readonly html: string | null;
  readonly making: boolean;
  readonly saving: boolean;
  /** Where it was written last. */
  readonly savedAs: string | null;
  /** One sentence: why there is none. */
  readonly problem: Message | null;
}

/** The report of the visit that was looked at last. */
export interface ReportSlice {
  report: ReportOfVisit | null;
  makeReport(visitId: number): Promise<void>;
  saveReport(visitId: number, format: ReportFormat): Promise<void>;
}

const NONE = { html: null, making: false, saving: false, savedAs: null, problem: null };

export const reportSlice =
  (client: Client): Slice<ReportSlice> =>
  (set, get) => {
    const change = (visitId: number, part: Partial<ReportOfVisit>) => {
      const { report } = get();
      set({ report: { ...(report?.visitId === visitId ? report : { visitId, ...NONE }), ...part } });
    };
    return {
      report: null,
      async makeReport(visitId) {
        change(visitId, { making: true, problem: null, savedAs: null });
        await client.call('report.preview', { visitId }).then(
          ({ html }) => change(visitId, { html, making: false }),
          (error) => change(visitId, { making: false, problem: toldOf(error) }),
        );
      },
      async saveReport(visitId, format) {
        change(visitId, { saving: true, problem: null, savedAs: null });
        await client.call('report.save', { visitId, format }).then(
          ({ path }) => change(visitId, { saving: false, savedAs: path }),
          (error) => change(visitId, { saving: false, problem: toldOf(error) }),
        );
      },
    };
  };
