import { useEffect, useState } from 'react';
import { useWatch } from 'react-hook-form';
import { useTranslation } from 'react-i18next';
import { LANGUAGES } from '../../../shared/messages/language.ts';
import { UNIT_SYSTEMS } from '../../../shared/units/units.ts';
import { type Settings, SettingsSchema } from '../../../shared/visit-work/settings.ts';
import { Button } from '../../components/Button.tsx';
import { SelectField, TextArea, TextField } from '../../components/Field.tsx';
import { FieldGroup } from '../../components/FieldGroup.tsx';
import { Page } from '../../components/Page.tsx';
import { PhotoField } from '../../components/PhotoField.tsx';
import page from '../../components/WorkPage.module.css';
import { NUMERIC } from '../../forms/numeric.ts';
import type { Texts } from '../../forms/texts.ts';
import { useWorkForm, type WorkForm } from '../../forms/use-work-form.ts';
import { useErrorText } from '../../i18n/use-error-text.ts';
import { useApp } from '../../store/context.ts';
import { InterfaceFields } from './InterfaceFields.tsx';
import { PickupSetFields } from './PickupSetFields.tsx';

export type SettingsForm = WorkForm<Texts<Settings>>;

/** The shop, its money, its interfaces and pickups. */
export function SettingsScreen() {
  const { t } = useTranslation();
  const known = useApp((s) => s.settingsKnown);
  const loadSettings = useApp((s) => s.loadSettings);
  useEffect(() => void loadSettings(), [loadSettings]);
  return (
    <Page>
      <h1>{t('settings.title')}</h1>
      {known ? <SettingsFields /> : <p aria-busy="true">{t('garage.loading')}</p>}
    </Page>
  );
}

function SettingsFields() {
  const { t } = useTranslation();
  const errorText = useErrorText();
  const settings = useApp((s) => s.settings);
  const draft = useApp((s) => s.settingsDraft);
  const saveSettings = useApp((s) => s.saveSettings);
  const [saved, setSaved] = useState(false);
  const form: SettingsForm = useWorkForm({
    form: 'settings',
    visitId: null,
    schema: SettingsSchema,
    saved: settings,
    draft,
    units: settings.units,
    inside: 'settings',
    save: saveSettings,
  });
  const { bind } = form;
  const logo = useWatch({ control: form.control, name: 'shop.logoId' });
  const { errors, isSubmitting } = form.formState;
  return (
    <form
      className={page.form}
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        void form.send().then(setSaved);
      }}
    >
      <FieldGroup title={t('settings.shop')}>
        <TextField label={t('settings.shopName')} hint={t('settings.shopHint')} {...bind('shop.name')} />
        <TextArea label={t('settings.address')} {...bind('shop.address')} />
        <PhotoField
          label={t('settings.logo')}
          visitId={null}
          value={logo}
          error={bind('shop.logoId').error}
          onChange={(value) => form.setValue('shop.logoId', value, { shouldDirty: true })}
        />
      </FieldGroup>
      <FieldGroup title={t('settings.reckoning')}>
        <TextField
          label={t('settings.currency')}
          hint={t('settings.currencyHint')}
          autoCapitalize="characters"
          {...bind('currency')}
        />
        <TextField label={t('settings.labourRate')} {...NUMERIC} {...bind('labourRate_per_h')} />
        <TextField label={t('settings.tax')} {...NUMERIC} {...bind('tax_percent')} />
        <SelectField label={t('settings.units')} {...bind('units')}>
          {UNIT_SYSTEMS.map((system) => (
            <option key={system} value={system}>
              {t(`settings.unitSystem.${system}`)}
            </option>
          ))}
        </SelectField>
        <SelectField label={t('settings.language')} {...bind('language')}>
          {LANGUAGES.map((language) => (
            <option key={language} value={language}>
              {t(`settings.languages.${language}`)}
            </option>
          ))}
        </SelectField>
      </FieldGroup>
      <InterfaceFields form={form} />
      <PickupSetFields form={form} />
      <div className={page.go}>
        <Button type="submit" primary disabled={isSubmitting}>
          {t('form.save')}
        </Button>
        {draft !== null && (
          <>
            <Button onClick={() => form.forget()}>{t('work.forget')}</Button>
            <span className={page.soft}>{t('work.keptAsTyped')}</span>
          </>
        )}
        <p role="status">{saved && draft === null && t('settings.saved')}</p>
        {Object.keys(errors).length > 0 && (
          <p className={page.fault} role="alert">
            ⚠ {errors.root?.message ? errorText(errors.root.message) : t('work.refused')}
          </p>
        )}
      </div>
    </form>
  );
}
