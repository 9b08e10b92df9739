import { type KeyboardEvent, useEffect, useRef, useState } from 'react';
import { useTranslation } from 'react-i18next';
import { Link, useLocation } from 'wouter';
import button from '../../components/Button.module.css';
import { Button } from '../../components/Button.tsx';
import { Page } from '../../components/Page.tsx';
import { formatDay } from '../../format.ts';
import { useQuantity } from '../../i18n/use-quantity.ts';
import { vehicleName } from '../../i18n/words.ts';
import { stepPath } from '../../steps.ts';
import { useApp } from '../../store/context.ts';
import { UnderWay } from './UnderWay.tsx';
import styles from './VehiclesScreen.module.css';

/** All vehicles, searched as typed; arrow keys walk from the search into the list and back. */
export function VehiclesScreen() {
  const { t, i18n } = useTranslation();
  const quantity = useQuantity();
  const vehicles = useApp((s) => s.vehicles);
  const text = useApp((s) => s.searchText);
  const search = useApp((s) => s.search);
  const addDemo = useApp((s) => s.addDemo);
  const beginVisit = useApp((s) => s.beginVisit);
  const [, navigate] = useLocation();
  const [filling, setFilling] = useState(false);
  const box = useRef<HTMLDivElement>(null);
  // biome-ignore lint/correctness/useExhaustiveDependencies: asked once for the text that stands
  useEffect(() => void search(text), []);

  const fillWithDemo = async () => {
    setFilling(true);
    const returning = await addDemo();
    if (returning !== null) navigate(`/vehicles/${returning}`);
    else setFilling(false);
  };
  const begin = async () => {
    const visitId = await beginVisit(null);
    if (visitId !== null) navigate(stepPath(visitId, 'intake'));
  };
  const walk = (event: KeyboardEvent) => {
    const step = event.key === 'ArrowDown' ? 1 : event.key === 'ArrowUp' ? -1 : 0;
    if (step === 0) return;
    event.preventDefault();
    const stops = [...box.current!.querySelectorAll<HTMLElement>('input, a[data-row]')];
    const at = stops.indexOf(document.activeElement as HTMLElement);
    stops[Math.min(stops.length - 1, Math.max(0, at + step))]?.focus();
  };

  return (
    <Page>
      {/* biome-ignore lint/a11y/noStaticElementInteractions: arrow keys move the focus between its links */}
      <div ref={box} className={styles.box} onKeyDown={walk}>
        <div className={styles.head}>
          <h1>{t('nav.vehicles')}</h1>
          <search className={styles.search}>
            <input
              type="search"
              aria-label={t('garage.search')}
              placeholder={t('garage.search')}
              // biome-ignore lint/a11y/noAutofocus: typing is how a vehicle is found
              autoFocus
              value={text}
              onChange={(event) => void search(event.target.value)}
            />
          </search>
          <Button primary onClick={() => void begin()}>
            {t('work.begin')}
          </Button>
          <Link href="/vehicles/new" className={button.button}>
            {t('garage.add')}
          </Link>
        </div>
        {!text && <UnderWay />}
        <p className="visually-hidden" role="status">
          {vehicles && t('garage.found', { count: vehicles.length })}
        </p>
        {vehicles?.length === 0 && (
          <div className={styles.none}>
            <p>{text ? t('garage.noMatch', { text }) : t('garage.empty')}</p>
            {!text && (
              <Button onClick={fillWithDemo} disabled={filling}>
                {t('garage.addDemo')}
              </Button>
            )}
          </div>
        )}
        <ul className={styles.list}>
          {vehicles?.map((vehicle) => (
            <li key={vehicle.id}>
              <Link href={`/vehicles/${vehicle.id}`} data-row className={styles.row}>
                <span className={styles.plate}>{vehicle.plate || t('app.notKnown')}</span>
                <span className={styles.what}>
                  <b>{vehicleName(t, vehicle.label)}</b>
                  <span>{vehicle.lastComplaint ?? vehicle.ownerNote}</span>
                </span>
                <span className={styles.figure}>
                  {vehicle.odometer_km !== null && quantity(vehicle.odometer_km, 'distance')}
                </span>
                <span className={styles.figure}>
                  {vehicle.lastVisitAt
                    ? `${t('garage.visits', { count: vehicle.visits })}, ${formatDay(vehicle.lastVisitAt, i18n.language)}`
                    : t('garage.noVisit')}
                </span>
              </Link>
            </li>
          ))}
        </ul>
      </div>
    </Page>
  );
}
