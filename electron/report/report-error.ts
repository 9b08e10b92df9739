import { ToldError } from '../../shared/messages/told-error.ts';

/** A report cannot be made or written: one sentence for the technician. */
export class ReportError extends ToldError {
  override readonly name = 'ReportError';
}
