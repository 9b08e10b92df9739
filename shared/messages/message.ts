import { z } from 'zod';
import { en } from './texts/en.ts';

/**
 * What the measuring side says, in no language: which sentence, and the figures and names in it. Screens, report and
 * command line make the text (`tell.ts`), in the language and units of whoever reads it.
 */

type Texts = typeof en;
type Singular<Key> = Key extends `${infer Id}_one` | `${infer Id}_other` | `${infer Id}_zero` ? Id : Key;

/** A key of the tables in `texts`; forms for one and for many share one. */
export type MessageId = Singular<keyof Texts>;

const known: ReadonlySet<string> = new Set(
  Object.keys(en).map((key) => key.replace(/_(zero|one|other)$/, '')),
);

/** A number in SI or the units of `shared/units`, a word of a closed vocabulary or of the user's own, or a sentence. */
export type MessageValue = string | number | readonly string[] | Message | null;

export type Message = { readonly id: MessageId; readonly values: Readonly<Record<string, MessageValue>> };

const StructuredSchema: z.ZodType<Message, Message> = z.object({
  id: z.custom<MessageId>((id) => typeof id === 'string' && known.has(id)),
  values: z.record(
    z.string(),
    z.union([z.string(), z.number(), z.array(z.string()), z.lazy(() => StructuredSchema), z.null()]),
  ),
});

/** Findings and road cards kept before 2026-11 hold English sentences instead: those are told as they were written. */
export const MessageSchema: z.ZodType<Message, Message | string> = z.union([
  z.string().transform((text): Message => message('written', { text })),
  StructuredSchema,
]);

type TextOf<Id extends MessageId> = Texts[Extract<keyof Texts, Id | `${Id}_other`>];
/** The names between the braces of a text: `{{place, place}}` has `place`. */
type NamesIn<Text> = Text extends `${string}{{${infer Inside}}}${infer Rest}`
  ? (Inside extends `${infer Name},${string}` ? Name : Inside) | NamesIn<Rest>
  : never;
type NamesOf<Id extends MessageId> =
  | NamesIn<TextOf<Id>>
  | (`${Id}_other` extends keyof Texts ? 'count' : never);

/** An amount of money as the value of a message: `EUR 1890`. */
export const amountOf = (minor: number, currency: string): string => `${currency} ${minor}`;

/** A message with every value that its text names. */
export const message = <Id extends MessageId>(
  id: Id,
  ...values: [NamesOf<Id>] extends [never] ? [] : [Readonly<Record<NamesOf<Id>, MessageValue>>]
): Message => ({ id, values: (values[0] ?? {}) as Message['values'] });
