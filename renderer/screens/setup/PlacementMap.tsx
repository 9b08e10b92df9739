import { type KeyboardEvent, useRef, useState } from 'react';
import { useTranslation } from 'react-i18next';
import { type DriveLayout, type KnownPosition, POSITIONS } from '../../../shared/driveline/words.ts';
import { PLACES } from '../../../shared/vehicle-view/vehicle-view.ts';
import { isStepKey, neighbour } from '../../components/places.ts';
import { placeStyle, VehicleMap } from '../../components/VehicleMap.tsx';
import { positionName } from '../../i18n/words.ts';
import { useApp } from '../../store/context.ts';
import type { RigChannel } from '../../store/rig.ts';
import styles from './PlacementMap.module.css';

/** Digits typed within this time belong to one channel number. */
const DIGITS_ms = 800;

interface Props {
  layout: DriveLayout | null;
  channels: readonly RigChannel[];
}

/**
 * Arrow keys walk over the vehicle's places, a typed channel number puts that pickup there, Delete takes it off.
 * A click (or Enter) puts the first pickup that has no place yet.
 */
export function PlacementMap({ layout, channels }: Props) {
  const { t } = useTranslation();
  const place = useApp((s) => s.place);
  const changeChannel = useApp((s) => s.changeChannel);
  const [at, setAt] = useState<KnownPosition>('hub-front-left');
  const box = useRef<HTMLDivElement>(null);
  const typed = useRef({ digits: '', at_ms: 0 });
  const occupant = (position: string) =>
    channels.find((c) => c.use === 'pickup' && c.position === position)?.channel;
  const occupied = (position: string) => {
    const channel = occupant(position);
    return channel === undefined ? t('setup.free') : t('setup.channel', { channel });
  };
  const nextFree = channels.find((c) => c.use === 'pickup' && c.position === '')?.channel;

  const typeDigit = (position: KnownPosition, digit: string) => {
    const now = performance.now();
    const { digits, at_ms } = typed.current;
    typed.current = { digits: now - at_ms < DIGITS_ms ? digits + digit : digit, at_ms: now };
    const channel = Number(typed.current.digits);
    if (channels.some((c) => c.channel === channel)) place(channel, position);
  };
  const onKey = (event: KeyboardEvent, position: KnownPosition) => {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    if (isStepKey(event.key)) {
      const next = neighbour(position, event.key);
      setAt(next);
      box.current?.querySelector<HTMLElement>(`[data-place="${next}"]`)?.focus();
    } else if (/^\d$/.test(event.key)) typeDigit(position, event.key);
    else if (event.key === 'Delete' || event.key === 'Backspace') {
      const channel = occupant(position);
      if (channel !== undefined) changeChannel(channel, { position: '' });
    } else return;
    event.preventDefault();
  };

  return (
    <div ref={box} className={styles.box}>
      <VehicleMap layout={layout} label={t('setup.map')}>
        <span className={styles.front}>{t('setup.front')}</span>
        {POSITIONS.map((position) => {
          const channel = occupant(position);
          return (
            <button
              key={position}
              type="button"
              data-place={position}
              className={`${styles.place} ${channel === undefined ? '' : styles.taken}`}
              style={placeStyle(PLACES[position])}
              tabIndex={position === at ? 0 : -1}
              aria-label={`${positionName(t, position)}: ${occupied(position)}`}
              onFocus={() => setAt(position)}
              onKeyDown={(event) => onKey(event, position)}
              onClick={() => {
                if (channel === undefined && nextFree !== undefined) place(nextFree, position);
              }}
            >
              {channel}
            </button>
          );
        })}
      </VehicleMap>
      <p className={styles.word}>
        <b>{positionName(t, at)}</b>
        <span>{occupied(at)}</span>
      </p>
      <p className={styles.hint}>{t('setup.mapHint')}</p>
    </div>
  );
}
