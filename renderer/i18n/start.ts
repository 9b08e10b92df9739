import i18next from 'i18next';
import { initReactI18next } from 'react-i18next';
import { en } from './en.ts';

declare module 'i18next' {
  interface CustomTypeOptions {
    defaultNS: 'translation';
    resources: { translation: typeof en };
  }
}

/** A second language is one more file beside en.ts and one more entry here. */
export function startI18n(): void {
  void i18next.use(initReactI18next).init({
    // Day before month and a 24-hour clock, as workshops outside North America write them.
    lng: 'en-GB',
    fallbackLng: 'en',
    resources: { en: { translation: en } },
    // React escapes what it shows.
    interpolation: { escapeValue: false },
  });
}
