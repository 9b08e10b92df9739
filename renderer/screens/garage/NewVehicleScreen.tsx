import { useTranslation } from 'react-i18next';
import { useLocation } from 'wouter';
import { Page } from '../../components/Page.tsx';
import { useApp } from '../../store/context.ts';
import { VehicleForm } from './VehicleForm.tsx';

export function NewVehicleScreen() {
  const { t } = useTranslation();
  const [, navigate] = useLocation();
  const addVehicle = useApp((s) => s.addVehicle);
  return (
    <Page>
      <h1>{t('garage.add')}</h1>
      <VehicleForm
        vehicle={null}
        submit={async (input) => navigate(`/vehicles/${(await addVehicle(input)).id}`)}
        cancel={() => navigate('/')}
      />
    </Page>
  );
}
