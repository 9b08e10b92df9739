import { useState } from 'react';
import type { RequestInput, RequestName, RequestOutput } from '../../../shared/contract/requests.ts';
import { useApp } from '../../store/context.ts';

/** A request of a form: its answer, its refusal as a sentence for the field, and whether it is still worked on. */
export function useRequest<N extends RequestName>(name: N) {
  const ask = useApp((s) => s.ask);
  const [state, setState] = useState<{ working: boolean; error?: string; answer?: RequestOutput<N> }>({
    working: false,
  });
  const send = async (input: RequestInput<N>): Promise<RequestOutput<N> | null> => {
    setState({ working: true });
    try {
      const answer = await ask(name, input);
      setState({ working: false, answer });
      return answer;
    } catch (cause) {
      setState({ working: false, error: cause instanceof Error ? cause.message : String(cause) });
      return null;
    }
  };
  return { ...state, send };
}
