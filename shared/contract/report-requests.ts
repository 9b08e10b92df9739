import { z } from 'zod';
import { id, request } from './define.ts';

export const REPORT_FORMATS = ['html', 'pdf'] as const;
export const ReportFormatSchema = z.enum(REPORT_FORMATS);
export type ReportFormat = z.infer<typeof ReportFormatSchema>;

const visitId = id;

/** The report for the owner. A visit that was never analysed, or has changed since, is analysed first. */
export const REPORT_REQUESTS = {
  /** A self-contained HTML document: nothing in it runs or is loaded from elsewhere. */
  'report.preview': request(z.object({ visitId }), z.object({ html: z.string() })),
  /** Writes it into the data folder's `reports`; `path` is where it lies then. */
  'report.save': request(
    z.object({ visitId, format: ReportFormatSchema }),
    z.object({ path: z.string(), format: ReportFormatSchema }),
  ),
} as const;
