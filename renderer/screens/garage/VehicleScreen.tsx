import { useEffect, useState } from 'react';
import { useTranslation } from 'react-i18next';
import { Link, useLocation } from 'wouter';
import { Button } from '../../components/Button.tsx';
import { Page } from '../../components/Page.tsx';
import { useQuantity } from '../../i18n/use-quantity.ts';
import { vehicleName } from '../../i18n/words.ts';
import { stepPath } from '../../steps.ts';
import { useApp } from '../../store/context.ts';
import { WearPanel } from '../returning/WearPanel.tsx';
import { RunningGear } from './RunningGear.tsx';
import { VehicleForm } from './VehicleForm.tsx';
import styles from './VehicleScreen.module.css';
import { VisitList } from './VisitList.tsx';

/** One vehicle: its visits compared at a glance, what is known of it, and the start of a new visit. */
export function VehicleScreen({ vehicleId }: { vehicleId: number }) {
  const { t } = useTranslation();
  const quantity = useQuantity();
  const [, navigate] = useLocation();
  const page = useApp((s) => s.vehiclePage);
  const loadVehicle = useApp((s) => s.loadVehicle);
  const changeVehicle = useApp((s) => s.changeVehicle);
  const beginVisit = useApp((s) => s.beginVisit);
  const [changing, setChanging] = useState(false);
  useEffect(() => void loadVehicle(vehicleId), [loadVehicle, vehicleId]);
  if (page?.vehicle.id !== vehicleId)
    return (
      <Page>
        <p aria-busy="true">{t('garage.loading')}</p>
      </Page>
    );

  const { vehicle, visits } = page;
  const { spec } = vehicle;
  const odometer_km = visits.find((v) => v.odometer_km !== null)?.odometer_km ?? spec.odometer_km;
  const begin = async () => {
    const visitId = await beginVisit(vehicleId);
    if (visitId !== null) navigate(stepPath(visitId, 'intake'));
  };
  return (
    <Page>
      <p>
        <Link href="/">← {t('nav.vehicles')}</Link>
      </p>
      <div className={styles.head}>
        <h1>{vehicleName(t, spec.label)}</h1>
        <span className={styles.plate}>{vehicle.plate || t('app.notKnown')}</span>
        {odometer_km != null && <span>{quantity(odometer_km, 'distance')}</span>}
        {!changing && (
          <span className={styles.actions}>
            <Button primary onClick={() => void begin()}>
              {t('visit.start')}
            </Button>
            <Button onClick={() => setChanging(true)}>{t('garage.change')}</Button>
          </span>
        )}
      </div>
      {vehicle.ownerNote && <p className={styles.note}>{vehicle.ownerNote}</p>}
      {changing ? (
        <VehicleForm
          vehicle={vehicle}
          submit={async (input) => {
            await changeVehicle(vehicleId, input);
            setChanging(false);
          }}
          cancel={() => setChanging(false)}
        />
      ) : (
        <>
          {visits.length > 0 && <WearPanel vehicleId={vehicleId} visits={visits} />}
          <div className={styles.columns}>
            <VisitList visits={visits} />
            <RunningGear spec={spec} />
          </div>
        </>
      )}
    </Page>
  );
}
