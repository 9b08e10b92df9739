import { useCallback } from 'react';
import { orderName } from '../../shared/messages/tell.ts';
import { useApp } from '../store/context.ts';

/** Names order lines such as `ring gear mesh 2×` in the shop's language. */
export function useOrderName(): (label: string) => string {
  const language = useApp((s) => s.settings.language);
  return useCallback((label) => orderName(language, label), [language]);
}
