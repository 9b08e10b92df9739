/** A report cannot be made or written: one sentence for the technician. */
export class ReportError extends Error {
  override readonly name = 'ReportError';
}
