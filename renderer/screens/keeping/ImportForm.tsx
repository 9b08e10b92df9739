import { useState } from 'react';
import { useTranslation } from 'react-i18next';
import { useLocation } from 'wouter';
import type { RequestOutput } from '../../../shared/contract/requests.ts';
import { Button } from '../../components/Button.tsx';
import { SelectField, TextField } from '../../components/Field.tsx';
import { formatDay } from '../../format.ts';
import { vehicleName } from '../../i18n/words.ts';
import { FolderForm } from './FolderForms.tsx';
import styles from './KeepingScreen.module.css';
import { useRequest } from './use-request.ts';

type Looked = RequestOutput<'bundles.look'>;
const NEW = '';

/** A visit from elsewhere: looked at first, then taken in for a new vehicle or for one of the garage. */
export function ImportForm() {
  const { t, i18n } = useTranslation();
  const [, navigate] = useLocation();
  const looking = useRequest('bundles.look');
  const importing = useRequest('bundles.import');
  const [looked, setLooked] = useState<{ folder: string; bundle: Looked } | null>(null);
  const [vehicle, setVehicle] = useState(NEW);
  const garage = useRequest('vehicles.search');
  const [search, setSearch] = useState('');

  const find = async (text: string) => {
    setSearch(text);
    return await garage.send({ text });
  };
  const look = async (folder: string) => {
    setLooked(null);
    const bundle = await looking.send({ folder });
    if (!bundle) return;
    const known = bundle.vin ?? bundle.plate;
    const rows = await find(known ?? bundle.label);
    // A name alone is shared by many; a plate or VIN that only one vehicle has is proposed.
    setVehicle(known !== null && rows?.length === 1 ? String(rows[0]!.id) : NEW);
    setLooked({ folder, bundle });
  };
  const take = async (folder: string) => {
    const made = await importing.send({ folder, vehicleId: vehicle === NEW ? null : Number(vehicle) });
    if (made) navigate(`/vehicles/${made.vehicleId}`);
  };

  const found = garage.answer ?? [];
  return (
    <section className={styles.form} aria-label={t('keeping.bundles')}>
      <FolderForm
        title={t('keeping.bundles')}
        hint={t('keeping.bundlesHint')}
        action={t('keeping.look')}
        working={looking.working}
        error={looking.error ?? importing.error}
        submit={(folder) => void look(folder)}
      >
        {looked && (
          <p>
            {t('keeping.looked', { label: looked.bundle.label, count: looked.bundle.runs })}
            {looked.bundle.startedAt && `, ${formatDay(looked.bundle.startedAt, i18n.language)}`}
          </p>
        )}
      </FolderForm>
      {looked && (
        <>
          <TextField
            label={t('keeping.findVehicle')}
            type="search"
            value={search}
            onChange={(event) => {
              setVehicle(NEW);
              void find(event.target.value);
            }}
          />
          <SelectField
            label={t('keeping.belongsTo')}
            value={vehicle}
            onChange={(event) => setVehicle(event.target.value)}
          >
            <option value={NEW}>{t('keeping.newVehicle')}</option>
            {found.map((row) => (
              <option key={row.id} value={row.id}>
                {[row.plate, vehicleName(t, row.label)].filter(Boolean).join(' · ')}
              </option>
            ))}
          </SelectField>
          <div>
            <Button primary disabled={importing.working} onClick={() => void take(looked.folder)}>
              {importing.working ? t('keeping.working') : t('keeping.importNow')}
            </Button>
          </div>
        </>
      )}
    </section>
  );
}
