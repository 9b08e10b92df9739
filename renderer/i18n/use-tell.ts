import { useMemo } from 'react';
import { type Tell, teller } from '../../shared/messages/tell.ts';
import { useApp } from '../store/context.ts';

/** Makes sentences of what the main side says, in the shop's language and units. */
export function useTell(): Tell {
  const language = useApp((s) => s.settings.language);
  const units = useApp((s) => s.settings.units);
  return useMemo(() => teller(language, units), [language, units]);
}
