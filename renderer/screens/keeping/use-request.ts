import { useState } from 'react';
import type { RequestInput, RequestName, RequestOutput } from '../../../shared/contract/requests.ts';
import type { Message } from '../../../shared/messages/message.ts';
import { toldOf } from '../../../shared/messages/told-error.ts';
import { useTell } from '../../i18n/use-tell.ts';
import { useApp } from '../../store/context.ts';

/** A request of a form: its answer, its refusal as a sentence for the field, and whether it is still worked on. */
export function useRequest<N extends RequestName>(name: N) {
  const ask = useApp((s) => s.ask);
  const tell = useTell();
  const [{ told, ...state }, setState] = useState<{
    working: boolean;
    told?: Message;
    answer?: RequestOutput<N>;
  }>({ working: false });
  const send = async (input: RequestInput<N>): Promise<RequestOutput<N> | null> => {
    setState({ working: true });
    try {
      const answer = await ask(name, input);
      setState({ working: false, answer });
      return answer;
    } catch (cause) {
      setState({ working: false, told: toldOf(cause) });
      return null;
    }
  };
  return { ...state, error: told && tell(told), send };
}
