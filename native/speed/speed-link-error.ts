import { ToldError } from '../../shared/messages/told-error.ts';

/** The message is fit for the technician: what happened and what to do. */
export class SpeedLinkError extends ToldError {
  override readonly name = 'SpeedLinkError';
}
