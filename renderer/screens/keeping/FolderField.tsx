import { useEffect, useState } from 'react';
import { useTranslation } from 'react-i18next';
import { Button } from '../../components/Button.tsx';
import { TextField } from '../../components/Field.tsx';
import { useApp } from '../../store/context.ts';

interface Props {
  value: string;
  error: string | undefined;
  onChange(folder: string): void;
}

/** A folder by its path, and by the system's dialog where there is one. */
export function FolderField({ value, error, onChange }: Props) {
  const { t } = useTranslation();
  const ask = useApp((s) => s.ask);
  const fail = useApp((s) => s.fail);
  const [canChoose, setCanChoose] = useState(false);
  useEffect(() => {
    ask('folders.canChoose', null).then(setCanChoose, fail);
  }, [ask, fail]);
  const choose = async () => {
    const folder = await ask('folders.choose', { from: value });
    if (folder !== null) onChange(folder);
  };
  return (
    <>
      <TextField
        label={t('keeping.folder')}
        value={value}
        error={error}
        spellCheck={false}
        autoComplete="off"
        onChange={(event) => onChange(event.target.value)}
      />
      {canChoose && <Button onClick={() => void choose().catch(fail)}>{t('keeping.choose')}</Button>}
    </>
  );
}
