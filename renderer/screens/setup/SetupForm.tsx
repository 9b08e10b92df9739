import { type FormEvent, type ReactNode, useEffect, useMemo, useState } from 'react';
import { useTranslation } from 'react-i18next';
import { useLocation } from 'wouter';
import type { BundleChannel } from '../../../shared/bundle/visit.ts';
import type { DriveLayout } from '../../../shared/driveline/words.ts';
import { textOf } from '../../../shared/messages/as-text.ts';
import { toldOf } from '../../../shared/messages/told-error.ts';
import { Button } from '../../components/Button.tsx';
import { useApp } from '../../store/context.ts';
import { RequestError } from '../../transport/client.ts';
import { ChannelTable } from './ChannelTable.tsx';
import { PlacementMap } from './PlacementMap.tsx';
import { knownScales, type RigFault, rigChannels } from './rig-channels.ts';
import styles from './SetupScreen.module.css';
import { SourcePanel } from './SourcePanel.tsx';
import { SpeedPanel } from './SpeedPanel.tsx';

interface Props {
  visitId: number | null;
  layout: DriveLayout | null;
  /** Places to take over from an earlier run. */
  lastPlaces?: readonly BundleChannel[] | undefined;
  cautions: ReactNode;
  /** What stands between the form and its buttons once the source runs. */
  checks?: ReactNode;
  /** Keeps the placements with the visit. @throws {RequestError} at the field that was refused */
  keep?(channels: readonly BundleChannel[]): Promise<void>;
  /** Beside the button to connect, once connected: where to go on. */
  goOn?: ReactNode;
}

/** Source, placements and the button that connects them. */
export function SetupForm({ visitId, layout, lastPlaces, cautions, checks, keep, goOn }: Props) {
  const { t } = useTranslation();
  const [, navigate] = useLocation();
  const rig = useApp((s) => s.rig);
  const settings = useApp((s) => s.settings);
  const devices = useApp((s) => s.devices);
  const loadDevices = useApp((s) => s.loadDevices);
  const openLive = useApp((s) => s.openLive);
  const setPlacement = useApp((s) => s.setPlacement);
  const command = useApp((s) => s.command);
  const fail = useApp((s) => s.fail);
  const live = useApp((s) => s.live);
  const [faults, setFaults] = useState<RigFault[]>([]);
  const [opening, setOpening] = useState(false);
  useEffect(() => void loadDevices(), [loadDevices]);

  const connected = live?.source != null && live.phase !== 'playing';
  const recording = live?.recording != null;
  const byDevice = rig.source === 'device';
  const channels = rig.channels.slice(0, rig.device.channels);
  const knownScale = useMemo(() => knownScales(settings, rig.device.name), [settings, rig.device.name]);
  const wanted = rigChannels(channels, knownScale);
  const changed =
    byDevice &&
    connected &&
    live.source?.kind === 'device' &&
    live.visitId === visitId &&
    JSON.stringify(wanted.channels) !== JSON.stringify(live.channels);

  /** The channels as they are wished, or null where something in them cannot be used. */
  const accepted = (): BundleChannel[] | null => {
    setFaults(byDevice ? wanted.faults : []);
    return byDevice && wanted.faults.length > 0 ? null : wanted.channels;
  };
  const keepAs = async (running: readonly BundleChannel[]) => {
    try {
      await keep?.(running);
    } catch (error) {
      const fault = faultOf(error, running);
      if (fault) setFaults([fault]);
      else fail(error);
    }
  };
  const connect = async (event: FormEvent) => {
    event.preventDefault();
    const wish = accepted();
    if (!wish) return;
    setOpening(true);
    const opened = await openLive(
      byDevice
        ? { source: { kind: 'device', ...rig.device }, visitId, channels: wish }
        : { source: { kind: 'demo' }, visitId, channels: [] },
    );
    setOpening(false);
    if (!opened) return;
    if (opened.channels.length > 0) await keepAs(opened.channels);
    if (visitId === null) navigate('/live');
  };
  const takeOver = async () => {
    const wish = accepted();
    if (!wish) return;
    await command('live.setChannels', { channels: wish });
    await keepAs(wish);
  };

  const ready = !byDevice || devices?.some((d) => d.name === rig.device.name) === true;
  return (
    <form className={styles.form} onSubmit={connect} noValidate>
      <SourcePanel />
      {byDevice && (
        <section className={styles.placement} aria-labelledby="pickups-title">
          <div className={styles.pickups}>
            <h2 id="pickups-title">{t('setup.pickups')}</h2>
            {lastPlaces && (
              <Button
                onClick={() =>
                  setPlacement(
                    lastPlaces.flatMap((c) =>
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
            <PlacementMap layout={layout} channels={channels} />
            <div className={styles.beside}>
              <ChannelTable channels={channels} faults={faults} knownScale={knownScale} />
              {cautions}
            </div>
          </div>
        </section>
      )}
      {byDevice && <SpeedPanel />}
      {!byDevice && cautions}
      {connected && live.visitId === visitId && checks}
      <div className={styles.go}>
        {connected && goOn}
        {changed && !recording && <Button onClick={() => void takeOver()}>{t('setup.takeOver')}</Button>}
        <Button type="submit" primary={!connected || !goOn} disabled={opening || recording || !ready}>
          {t(opening ? 'setup.connecting' : connected && goOn ? 'setup.connectAgain' : 'setup.connect')}
        </Button>
        {connected && !recording && (
          <Button onClick={() => void command('live.close', null)}>{t('live.stop')}</Button>
        )}
        {!connected && goOn}
        {recording ? (
          <p role="status">⚠ {t('setup.stopFirst')}</p>
        ) : (
          !ready && <p>{t('setup.chooseDevice')}</p>
        )}
      </div>
    </form>
  );
}

/** The row of the table that a refused rigging belongs to; null when it is none. */
function faultOf(error: unknown, channels: readonly BundleChannel[]): RigFault | null {
  const at = error instanceof RequestError && /^rigging\.channels\.(\d+)\./.exec(error.field ?? '');
  if (!at) return null;
  const channel = channels.filter((c) => c.role === 'vibration')[Number(at[1])]?.channel;
  return channel === undefined ? null : { channel, field: 'pickup', error: textOf(toldOf(error)) };
}
