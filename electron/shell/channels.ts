/** Names of the messages between the window and the main process. */
export const REQUEST = 'rumblepath:request';
export const EVENT = 'rumblepath:event';
/** Sent by the main process; a renderer that still runs answers with the same name. */
export const ALIVE = 'rumblepath:alive';
