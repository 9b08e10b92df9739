import { Component, type ErrorInfo, type ReactNode } from 'react';
import { type WithTranslation, withTranslation } from 'react-i18next';
import { Button } from './Button.tsx';
import styles from './FullPage.module.css';

interface Props extends WithTranslation {
  children: ReactNode;
}

/** A screen that throws is replaced by one sentence; the main side goes on measuring. */
class Boundary extends Component<Props, { broken: boolean }> {
  override state = { broken: false };

  static getDerivedStateFromError() {
    return { broken: true };
  }

  override componentDidCatch(error: Error, info: ErrorInfo) {
    console.error(error, info.componentStack);
  }

  override render() {
    const { t, children } = this.props;
    if (!this.state.broken) return children;
    return (
      <main className={styles.page} role="alert">
        <h1>{t('app.broken')}</h1>
        <p>{t('app.brokenMore')}</p>
        <Button primary onClick={() => location.reload()}>
          {t('app.reload')}
        </Button>
      </main>
    );
  }
}

export const ErrorBoundary = withTranslation()(Boundary);
