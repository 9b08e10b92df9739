import type { ComponentProps } from 'react';
import { useTranslation } from 'react-i18next';
import { SelectField } from './Field.tsx';

interface Props extends ComponentProps<typeof SelectField> {
  /** Values and their words; beside them stands that it is not known. */
  options: readonly (readonly [value: string, words: string])[];
  /** What the empty choice says. */
  none?: string;
}

/** One of a few words, or not known. */
export function Choice({ options, none, ...field }: Props) {
  const { t } = useTranslation();
  return (
    <SelectField {...field}>
      <option value="">{none ?? t('app.notKnown')}</option>
      {options.map(([value, words]) => (
        <option key={value} value={value}>
          {words}
        </option>
      ))}
    </SelectField>
  );
}
