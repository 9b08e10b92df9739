import { useTranslation } from 'react-i18next';
import { messageIn } from '../../shared/messages/as-text.ts';
import { isFormError } from './form-errors.ts';
import { useTell } from './use-tell.ts';

/** Makes the sentence of a form's error: a key of the form's own checks, or a message of a schema or the main side. */
export function useErrorText(): (error: string) => string {
  const { t } = useTranslation();
  const tell = useTell();
  return (error) => (isFormError(error) ? t(`formError.${error}`) : tell(messageIn(error)));
}
