import type { Reply } from '../shared/contract/requests.ts';
import { english } from '../shared/messages/tell.ts';

/** A reply with its refusal as a reader of English sees it. */
export const inEnglish = (reply: Reply) => (reply.ok ? reply : { ...reply, message: english(reply.told) });
