import { useTranslation } from 'react-i18next';
import { Page } from '../../components/Page.tsx';
import { BackupForm, RestoreForm } from './FolderForms.tsx';
import { ImportForm } from './ImportForm.tsx';
import styles from './KeepingScreen.module.css';
import { RetentionForm } from './RetentionForm.tsx';
import { SupportForm } from './SupportForm.tsx';
import { WearRiseForm } from './WearRiseForm.tsx';

/** What keeps the garage safe: backup, restore, visits from elsewhere, which recordings stay, and what helps those who mend the program. */
export function KeepingScreen() {
  const { t } = useTranslation();
  return (
    <Page>
      <h1>{t('keeping.title')}</h1>
      <div className={styles.columns}>
        <div className={styles.column}>
          <BackupForm />
          <RestoreForm />
          <ImportForm />
        </div>
        <div className={styles.column}>
          <RetentionForm />
          <WearRiseForm />
          <SupportForm />
        </div>
      </div>
    </Page>
  );
}
