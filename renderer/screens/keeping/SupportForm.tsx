import { useState } from 'react';
import { useTranslation } from 'react-i18next';
import { Button } from '../../components/Button.tsx';
import { TextArea } from '../../components/Field.tsx';
import { FolderForm } from './FolderForms.tsx';
import styles from './KeepingScreen.module.css';
import { useRequest } from './use-request.ts';

/** What is handed to those who mend the program: read first, then written as it was read. */
export function SupportForm() {
  const { t } = useTranslation();
  const showing = useRequest('support.show');
  const writing = useRequest('support.write');
  const [written, setWritten] = useState<string | null>(null);
  const shown = showing.answer;
  const write = async (folder: string) => {
    if (!shown) return;
    const answer = await writing.send({ folder, sha256: shown.sha256 });
    setWritten(answer?.path ?? null);
  };
  if (!shown) {
    return (
      <section className={styles.form}>
        <h2>{t('keeping.support')}</h2>
        <p className={styles.hint}>{t('keeping.supportHint')}</p>
        <div>
          <Button disabled={showing.working} onClick={() => void showing.send(null)}>
            {t('keeping.supportShow')}
          </Button>
        </div>
        {showing.error && <p role="alert">{showing.error}</p>}
      </section>
    );
  }
  return (
    <FolderForm
      title={t('keeping.support')}
      hint={t('keeping.supportRead')}
      action={t('keeping.supportWrite')}
      working={writing.working}
      error={writing.error}
      submit={(folder) => void write(folder)}
    >
      {written && <p>✓ {t('keeping.supportWritten', { path: written })}</p>}
      <TextArea label={t('keeping.supportText')} readOnly rows={12} value={shown.text} />
    </FolderForm>
  );
}
