import { useMemo, useRef } from 'react';
import { type FieldValues, useWatch } from 'react-hook-form';
import type { z } from 'zod';
import type { UnitSystem } from '../../shared/units/units.ts';
import { readTexts } from './texts.ts';
import type { WorkForm } from './use-work-form.ts';

/** The form's value as it is typed; while something in it is refused, the last one that was not. */
export function useLiveValue<S extends z.ZodType, T extends FieldValues>(
  schema: S,
  form: WorkForm<T>,
  saved: z.output<S>,
  units: UnitSystem,
): z.output<S> {
  const last = useRef<z.output<S>>(saved);
  const texts = useWatch({ control: form.control });
  return useMemo(() => {
    const read = schema.safeParse(readTexts(schema, texts as never, saved, units));
    if (read.success) last.current = read.data;
    return last.current;
  }, [schema, texts, saved, units]);
}
