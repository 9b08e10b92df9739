import { useMemo, useRef } from 'react';
import { useTranslation } from 'react-i18next';
import styles from './ReportPreview.module.css';

/**
 * A self-contained document in a frame without scripts. The screens' policy, which the frame inherits, forbids style
 * text in the page: the report's is taken out and set as a sheet from here.
 */
export function ReportPreview({ html }: { html: string }) {
  const { t } = useTranslation();
  const frame = useRef<HTMLIFrameElement>(null);
  const { body, css } = useMemo(() => withoutStyle(html), [html]);
  const dress = () => {
    const view = frame.current?.contentWindow as (Window & typeof globalThis) | null | undefined;
    if (!view) return;
    const sheet = new view.CSSStyleSheet();
    sheet.replaceSync(css);
    view.document.adoptedStyleSheets = [sheet];
    frame.current!.style.blockSize = `${view.document.documentElement.scrollHeight}px`;
  };
  return (
    <iframe
      ref={frame}
      className={styles.frame}
      title={t('report.preview')}
      sandbox="allow-same-origin"
      srcDoc={body}
      onLoad={dress}
    />
  );
}

const STYLE = /<style[^>]*>([\s\S]*?)<\/style>/gi;

function withoutStyle(html: string): { body: string; css: string } {
  const css = [...html.matchAll(STYLE)].map((match) => match[1]).join('\n');
  return { body: html.replaceAll(STYLE, ''), css };
}
