import { type Message, MessageSchema, message } from './message.ts';

/** A message on its way through what carries texts only: a schema's issue, a form's error. */
export const textOf = (told: Message): string => JSON.stringify(told);

/** The message that `textOf` wrote; any other text is told as it was written. */
export function messageIn(text: string): Message {
  if (!text.startsWith('{"id":')) return message('written', { text });
  return MessageSchema.parse(JSON.parse(text));
}
