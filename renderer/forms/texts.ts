import { z } from 'zod';
import { inside, type Quantity, shown, type UnitSystem } from '../../shared/units/units.ts';

/**
 * A form holds everything as it was typed; the contract's schema says what becomes of it. Both have the same shape, so
 * that a fault found in the value has its path in the form. Empty is unknown, and a yes or no is chosen like any word.
 */
export type Texts<T> =
  NonNullable<T> extends string | number | boolean
    ? string
    : NonNullable<T> extends readonly (infer U)[]
      ? Texts<U>[]
      : { [K in keyof NonNullable<T>]: Texts<NonNullable<T>[K]> };

/** By the unit at the end of a field's name. */
const QUANTITIES: readonly (readonly [string, Quantity])[] = [
  ['_km_h', 'speed'],
  ['_km', 'distance'],
  ['tread_mm', 'tread'],
  ['_kPa', 'pressure'],
  ['_Nm', 'torque'],
  ['_l', 'volume'],
];
const quantityOf = (key: string): Quantity | null =>
  QUANTITIES.find(([unit]) => key.endsWith(unit))?.[1] ?? null;

/** Digits that survive the way to another unit and back, without its rounding errors. */
const DIGITS = 7;
const trimmed = (value: number): string => String(Number(value.toPrecision(DIGITS)));
/** A chance is shown in per cent. */
export const percentText = (chance: number): string => trimmed(chance * 100);
const isChance = (key: string): boolean => key === 'probability';
const numberText = (value: number, key: string, units: UnitSystem): string => {
  if (isChance(key)) return percentText(value);
  const quantity = quantityOf(key);
  if (quantity === null || units === 'metric') return String(value);
  return trimmed(shown(value, quantity, units));
};

interface Unwrapped {
  readonly schema: z.ZodType;
  readonly nullable: boolean;
}

function unwrap(schema: z.ZodType): Unwrapped {
  if (schema instanceof z.ZodNullable) return { ...unwrap(schema.unwrap() as z.ZodType), nullable: true };
  if (schema instanceof z.ZodPipe) return unwrap(schema.in as z.ZodType);
  return { schema, nullable: false };
}

const entriesOf = (schema: z.ZodObject) => Object.entries(schema.shape) as [string, z.ZodType][];
const record = (value: unknown): Record<string, unknown> =>
  typeof value === 'object' && value !== null ? (value as Record<string, unknown>) : {};

/**
 * The form of a value; whatever is not there is empty.
 * @param units what lengths, speeds and the like are shown in
 */
export function textsOf<S extends z.ZodType>(
  schema: S,
  value: z.output<S> | null,
  units: UnitSystem,
): Texts<z.output<S>> {
  return textOf(schema, value, '', units) as Texts<z.output<S>>;
}

function textOf(of: z.ZodType, value: unknown, key: string, units: UnitSystem): unknown {
  const { schema } = unwrap(of);
  if (schema instanceof z.ZodObject)
    return Object.fromEntries(entriesOf(schema).map(([k, s]) => [k, textOf(s, record(value)[k], k, units)]));
  if (schema instanceof z.ZodArray)
    return Array.isArray(value) ? value.map((v) => textOf(schema.element as z.ZodType, v, key, units)) : [];
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  if (typeof value === 'number') return numberText(value, key, units);
  return typeof value === 'string' ? value : '';
}

/** A draft from another day over a form: what still fits counts, the rest stays as the form has it. */
export function withDraft<S extends z.ZodType>(
  schema: S,
  texts: Texts<z.output<S>>,
  draft: unknown,
): Texts<z.output<S>> {
  return overlaid(schema, texts, draft) as Texts<z.output<S>>;
}

function overlaid(of: z.ZodType, texts: unknown, draft: unknown): unknown {
  const { schema } = unwrap(of);
  if (draft === undefined || draft === null) return texts;
  if (schema instanceof z.ZodObject)
    return Object.fromEntries(
      entriesOf(schema).map(([k, s]) => [k, overlaid(s, record(texts)[k], record(draft)[k])]),
    );
  if (schema instanceof z.ZodArray) {
    const element = schema.element as z.ZodType;
    const blank = () => textOf(element, null, '', 'metric');
    return Array.isArray(draft) ? draft.map((d) => overlaid(element, blank(), d)) : texts;
  }
  return typeof draft === 'string' ? draft : texts;
}

const allEmpty = (texts: unknown): boolean =>
  typeof texts === 'object' && texts !== null
    ? Object.values(texts).every(allEmpty)
    : texts === '' || texts === undefined;

/**
 * What a form says, to be checked by its schema: a number that is none stays text, so that the schema refuses it.
 * @param before the value the form was made from: what was not touched stays exactly as it was
 */
export function readTexts<S extends z.ZodType>(
  schema: S,
  texts: Texts<z.output<S>>,
  before: z.output<S> | null,
  units: UnitSystem,
): unknown {
  return readValue(schema, texts, before, '', units);
}

function readValue(of: z.ZodType, texts: unknown, before: unknown, key: string, units: UnitSystem): unknown {
  const { schema, nullable } = unwrap(of);
  if (schema instanceof z.ZodObject) {
    if (nullable && allEmpty(texts)) return null;
    return Object.fromEntries(
      entriesOf(schema).map(([k, s]) => [k, readValue(s, record(texts)[k], record(before)[k], k, units)]),
    );
  }
  if (schema instanceof z.ZodArray) {
    const element = schema.element as z.ZodType;
    const list = Array.isArray(texts) ? texts : [];
    const was = Array.isArray(before) ? before : [];
    return list.map((t, i) => readValue(element, t, was[i], key, units));
  }
  const text = typeof texts === 'string' ? texts : '';
  if (schema instanceof z.ZodNumber) return readNumber(text, before, key, units);
  if (schema instanceof z.ZodBoolean)
    return text === 'yes' ? true : text === 'no' || !nullable ? false : null;
  return nullable && text.trim() === '' ? null : text;
}

/** With point or comma; blanks between thousands are left out. */
function readNumber(text: string, before: unknown, key: string, units: UnitSystem): number | string | null {
  if (text.trim() === '') return null;
  if (typeof before === 'number' && text === numberText(before, key, units)) return before;
  const value = Number(text.replaceAll(/\s/g, '').replace(',', '.'));
  if (!Number.isFinite(value)) return text;
  if (isChance(key)) return value / 100;
  const quantity = quantityOf(key);
  return quantity === null ? value : inside(value, quantity, units);
}
