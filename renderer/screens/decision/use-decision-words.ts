import { useMemo } from 'react';
import { type DecisionWords, decisionWords } from '../../../shared/decision/words.ts';
import { useApp } from '../../store/context.ts';

/** The words of arithmetic and advice in the shop's language and units, the same as on the report. */
export function useDecisionWords(): DecisionWords {
  const language = useApp((s) => s.settings.language);
  const units = useApp((s) => s.settings.units);
  return useMemo(() => decisionWords(language, units), [language, units]);
}
