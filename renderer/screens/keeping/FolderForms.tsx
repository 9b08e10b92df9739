import { type FormEvent, type ReactNode, useState } from 'react';
import { useTranslation } from 'react-i18next';
import { Button } from '../../components/Button.tsx';
import { formatBytes } from '../../format.ts';
import { useTell } from '../../i18n/use-tell.ts';
import { FolderField } from './FolderField.tsx';
import styles from './KeepingScreen.module.css';
import { useRequest } from './use-request.ts';

interface FolderFormProps {
  title: string;
  hint: string;
  action: string;
  working: boolean;
  error: string | undefined;
  primary?: boolean;
  submit(folder: string): void;
  children?: ReactNode;
}

/** A folder to name, and what is done with it. */
export function FolderForm({
  title,
  hint,
  action,
  working,
  error,
  primary,
  submit,
  children,
}: FolderFormProps) {
  const { t } = useTranslation();
  const [folder, setFolder] = useState('');
  const send = (event: FormEvent) => {
    event.preventDefault();
    submit(folder);
  };
  return (
    <form className={styles.form} onSubmit={send} noValidate>
      <h2>{title}</h2>
      <p className={styles.hint}>{hint}</p>
      <div className={styles.folder}>
        <FolderField value={folder} error={error} onChange={setFolder} />
        <Button type="submit" primary={primary ?? false} disabled={working}>
          {working ? t('keeping.working') : action}
        </Button>
      </div>
      <div role="status">{children}</div>
    </form>
  );
}

export function BackupForm() {
  const { t, i18n } = useTranslation();
  const { working, error, answer, send } = useRequest('garage.backUp');
  return (
    <FolderForm
      title={t('keeping.backup')}
      hint={t('keeping.backupHint')}
      action={t('keeping.backupNow')}
      working={working}
      error={error}
      primary
      submit={(folder) => void send({ folder })}
    >
      {answer && (
        <p>
          ✓{' '}
          {t('keeping.made', {
            files: answer.files,
            size: formatBytes(answer.bytes, i18n.language),
            folder: answer.folder,
          })}{' '}
          {answer.missing.length > 0 && t('keeping.missing', { count: answer.missing.length })}
        </p>
      )}
    </FolderForm>
  );
}

export function RestoreForm() {
  const { t } = useTranslation();
  const tell = useTell();
  const { working, error, answer, send } = useRequest('garage.restore');
  return (
    <FolderForm
      title={t('keeping.restore')}
      hint={t('keeping.restoreHint')}
      action={t('keeping.restoreNow')}
      working={working}
      error={error}
      submit={(folder) => void send({ folder })}
    >
      {answer && <p>✓ {tell(answer.sentence)}</p>}
    </FolderForm>
  );
}

export function ExportForm({ visitId }: { visitId: number }) {
  const { t } = useTranslation();
  const [made, setMade] = useState<string | null>(null);
  const { working, error, answer, send } = useRequest('bundles.export');
  return (
    <FolderForm
      title={t('keeping.exportHere')}
      hint={t('keeping.exportHint')}
      action={t('keeping.exportNow')}
      working={working}
      error={error}
      submit={async (folder) => {
        setMade(folder);
        await send({ visitId, folder });
      }}
    >
      {answer !== undefined && made && <p>✓ {t('keeping.exported', { folder: made })}</p>}
    </FolderForm>
  );
}
