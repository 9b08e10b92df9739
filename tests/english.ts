import { teller } from '../shared/messages/tell.ts';

/** Messages as a reader of English in metric units sees them. */
export const english = teller('en');
