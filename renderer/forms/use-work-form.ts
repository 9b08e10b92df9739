import { zodResolver } from '@hookform/resolvers/zod';
import { useEffect, useMemo, useRef } from 'react';
import {
  type FieldError,
  type FieldPath,
  type FieldValues,
  get,
  type Resolver,
  type UseFormReturn,
  useForm,
} from 'react-hook-form';
import type { z } from 'zod';
import type { Form } from '../../shared/contract/visit-work.ts';
import { textOf } from '../../shared/messages/as-text.ts';
import { toldOf } from '../../shared/messages/told-error.ts';
import type { UnitSystem } from '../../shared/units/units.ts';
import { useApp } from '../store/context.ts';
import { RequestError } from '../transport/client.ts';
import { readTexts, type Texts, textsOf, withDraft } from './texts.ts';

/** So long after the last key the form is kept. */
const KEEP_AFTER_ms = 250;

interface Options<S extends z.ZodType> {
  form: Form;
  /** Null for the settings. */
  visitId: number | null;
  schema: S;
  saved: z.output<S>;
  /** What was typed and not saved, if anything. */
  draft: unknown;
  units: UnitSystem;
  /** The field of the request that holds the form; empty where the form is the request. */
  inside: string;
  /** @throws {RequestError} with the field that was refused */
  save(value: z.output<S>): Promise<void>;
}

export interface WorkForm<T extends FieldValues> extends UseFormReturn<T> {
  /** Name, handlers and the sentence for a field's fault. */
  bind(name: FieldPath<T>): ReturnType<UseFormReturn<T>['register']> & { error: string | undefined };
  /** Saves; true when everything was accepted. */
  send(): Promise<boolean>;
  /** Back to what was saved last. */
  forget(): void;
}

/**
 * A form of the visit's work. Every change is kept as a draft within a moment, right or wrong; saving is asked for and
 * refused at the field.
 */
export function useWorkForm<S extends z.ZodType, T extends FieldValues = Texts<z.output<S>> & FieldValues>({
  form,
  visitId,
  schema,
  saved,
  draft,
  units,
  inside,
  save,
}: Options<S>): WorkForm<T> {
  const keepDraft = useApp((s) => s.keepDraft);
  const clearDraft = useApp((s) => s.clearDraft);
  const before = useRef(saved);
  before.current = saved;
  const started = useRef<T>(undefined);
  started.current ??= withDraft(schema, textsOf(schema, saved, units), draft) as unknown as T;
  const resolver = useMemo((): Resolver<T> => {
    const check = zodResolver(schema as never) as unknown as Resolver<T>;
    return (texts, context, options) =>
      check(readTexts(schema, texts as never, before.current, units) as T, context, options);
  }, [schema, units]);
  const methods = useForm<T>({ defaultValues: started.current as never, resolver, reValidateMode: 'onBlur' });
  const { subscribe, handleSubmit, setError, register, formState, getValues, reset } = methods;

  const waiting = useRef<ReturnType<typeof setTimeout>>(undefined);
  useEffect(() => {
    const keep = () => {
      if (waiting.current === undefined) return;
      clearTimeout(waiting.current);
      waiting.current = undefined;
      void keepDraft(visitId, form, getValues());
    };
    const stop = subscribe({
      formState: { values: true },
      callback: () => {
        if (JSON.stringify(getValues()) === JSON.stringify(started.current)) return;
        clearTimeout(waiting.current);
        waiting.current = setTimeout(keep, KEEP_AFTER_ms);
      },
    });
    window.addEventListener('pagehide', keep);
    return () => {
      stop();
      window.removeEventListener('pagehide', keep);
      keep();
    };
  }, [subscribe, getValues, keepDraft, visitId, form]);

  const send = async (): Promise<boolean> => {
    let accepted = false;
    await handleSubmit(async (value) => {
      try {
        clearTimeout(waiting.current);
        waiting.current = undefined;
        await save(value as z.output<S>);
        started.current = structuredClone(getValues());
        accepted = true;
      } catch (error) {
        void keepDraft(visitId, form, getValues());
        const field = error instanceof RequestError ? error.field : undefined;
        const path =
          inside === '' ? field : field?.startsWith(`${inside}.`) && field.slice(inside.length + 1);
        const message = textOf(toldOf(error));
        setError((path || 'root') as FieldPath<T>, { message }, { shouldFocus: true });
      }
    })();
    return accepted;
  };

  return {
    ...methods,
    bind: (name) => ({
      ...register(name),
      error: (get(formState.errors, name) as FieldError | undefined)?.message,
    }),
    send,
    forget() {
      clearTimeout(waiting.current);
      waiting.current = undefined;
      const texts = textsOf(schema, before.current, units) as unknown as T;
      started.current = texts;
      reset(texts);
      void clearDraft(visitId, form);
    },
  };
}
