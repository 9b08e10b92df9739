import { type FormEvent, useEffect, useState } from 'react';
import { useTranslation } from 'react-i18next';
import { useLocation } from 'wouter';
import { Button } from '../../components/Button.tsx';
import { Cautions } from '../../components/Cautions.tsx';
import { Page } from '../../components/Page.tsx';
import { useApp } from '../../store/context.ts';
import { ChannelTable } from './ChannelTable.tsx';
import { PlacementMap } from './PlacementMap.tsx';
import { type RigFault, rigChannels } from './rig-channels.ts';
import styles from './SetupScreen.module.css';
import { SourcePanel } from './SourcePanel.tsx';
import { SpeedPanel } from './SpeedPanel.tsx';

/** Before the drive: where the samples come from and which pickup sits where. */
export function SetupScreen({ visitId }: { visitId: number | null }) {
  const { t } = useTranslation();
  const [, navigate] = useLocation();
  const rig = useApp((s) => s.rig);
  const devices = useApp((s) => s.devices);
  const loadDevices = useApp((s) => s.loadDevices);
  const openLive = useApp((s) => s.openLive);
  const setPlacement = useApp((s) => s.setPlacement);
  const command = useApp((s) => s.command);
  const connected = useApp((s) => s.live?.source != null);
  const recording = useApp((s) => s.live?.recording != null);
  const { visit, vehicle } = useVisitVehicle(visitId);
  const [faults, setFaults] = useState<RigFault[]>([]);
  const [opening, setOpening] = useState(false);
  useEffect(() => void loadDevices(), [loadDevices]);

  const channels = rig.channels.slice(0, rig.device.channels);
  const lastRun = visit?.runs.at(-1);
  const connect = async (event: FormEvent) => {
    event.preventDefault();
    const found = rigChannels(channels);
    setFaults(rig.source === 'device' ? found.faults : []);
    if (rig.source === 'device' && found.faults.length > 0) return;
    setOpening(true);
    const opened = await openLive(
      rig.source === 'demo'
        ? { source: { kind: 'demo' }, visitId, channels: [] }
        : { source: { kind: 'device', ...rig.device }, visitId, channels: found.channels },
    );
    setOpening(false);
    if (opened) navigate('/live');
  };

  const ready = rig.source === 'demo' || devices?.some((d) => d.name === rig.device.name) === true;
  const cautions = <Cautions highVoltage={vehicle ? vehicle.spec.electricDrive === true : true} />;
  return (
    <Page>
      <form className={styles.form} onSubmit={connect} noValidate>
        <div className={styles.head}>
          <h1>{t('setup.title')}</h1>
          <p>{vehicle ? `${vehicle.spec.label} ${vehicle.plate}` : t('setup.noVisit')}</p>
        </div>
        <SourcePanel />
        {rig.source === 'device' && (
          <section className={styles.placement} aria-labelledby="pickups-title">
            <div className={styles.pickups}>
              <h2 id="pickups-title">{t('setup.pickups')}</h2>
              {lastRun && (
                <Button
                  onClick={() =>
                    setPlacement(
                      lastRun.channels.flatMap((c) =>
                        c.role === 'vibration' ? [{ channel: c.channel, position: c.position }] : [],
                      ),
                    )
                  }
                >
                  {t('setup.asLastRun')}
                </Button>
              )}
            </div>
            <div className={styles.columns}>
              <PlacementMap layout={vehicle?.spec.layout ?? null} channels={channels} />
              <div className={styles.beside}>
                <ChannelTable channels={channels} faults={faults} />
                {cautions}
              </div>
            </div>
          </section>
        )}
        {rig.source === 'device' && <SpeedPanel />}
        {rig.source === 'demo' && cautions}
        <div className={styles.go}>
          <Button type="submit" primary disabled={opening || recording || !ready}>
            {t(opening ? 'setup.connecting' : 'setup.connect')}
          </Button>
          {connected && !recording && (
            <Button onClick={() => void command('live.close', null)}>{t('live.stop')}</Button>
          )}
          {recording ? (
            <p role="status">⚠ {t('setup.stopFirst')}</p>
          ) : (
            !ready && <p>{t('setup.chooseDevice')}</p>
          )}
        </div>
      </form>
    </Page>
  );
}

/** The visit that the runs will belong to, with its vehicle; nulls while loading or without a visit. */
function useVisitVehicle(visitId: number | null) {
  const visit = useApp((s) => (s.visit?.id === visitId ? s.visit : null));
  const page = useApp((s) => s.vehiclePage);
  const loadVisit = useApp((s) => s.loadVisit);
  const loadVehicle = useApp((s) => s.loadVehicle);
  const vehicleId = visit?.vehicleId;
  useEffect(() => {
    if (visitId !== null) void loadVisit(visitId);
  }, [visitId, loadVisit]);
  useEffect(() => {
    if (vehicleId !== undefined) void loadVehicle(vehicleId);
  }, [vehicleId, loadVehicle]);
  return { visit, vehicle: page && page.vehicle.id === vehicleId ? page.vehicle : null };
}
