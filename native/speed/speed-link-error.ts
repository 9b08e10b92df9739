/** The message is fit for the technician: what happened and what to do. */
export class SpeedLinkError extends Error {
  override readonly name = 'SpeedLinkError';
}
