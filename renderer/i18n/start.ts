import i18next from 'i18next';
import { initReactI18next } from 'react-i18next';
import type { Settings } from '../../shared/visit-work/settings.ts';
import type { AppStore } from '../store/store.ts';
import { de } from './de.ts';
import { en } from './en.ts';

declare module 'i18next' {
  interface CustomTypeOptions {
    defaultNS: 'translation';
    resources: { translation: typeof en };
  }
}

/** By the language of the settings: day before month and a 24-hour clock, as workshops outside North America write. */
const LOCALES: Readonly<Record<Settings['language'], string>> = { en: 'en-GB', de: 'de-DE' };

/** A further language is one more file beside en.ts and one more entry here. */
export function startI18n(): void {
  void i18next.use(initReactI18next).init({
    lng: LOCALES.en,
    fallbackLng: 'en',
    resources: { en: { translation: en }, de: { translation: de } },
    // React escapes what it shows.
    interpolation: { escapeValue: false },
  });
}

/** The screens speak the language of the shop's settings, from when they are first known. */
export function followLanguage(store: AppStore): void {
  let asked = false;
  store.subscribe(({ connection, loadSettings, settings, settingsKnown }) => {
    if (connection === 'open' && !asked) {
      asked = true;
      void loadSettings();
    }
    const language = LOCALES[settings.language];
    if (!settingsKnown || i18next.language === language) return;
    document.documentElement.lang = settings.language;
    void i18next.changeLanguage(language);
  });
}
