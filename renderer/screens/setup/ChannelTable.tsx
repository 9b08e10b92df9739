import { useId, useState } from 'react';
import { useTranslation } from 'react-i18next';
import { POSITIONS } from '../../../shared/driveline/words.ts';
import { Button } from '../../components/Button.tsx';
import { useErrorText } from '../../i18n/use-error-text.ts';
import { positionName } from '../../i18n/words.ts';
import { useApp } from '../../store/context.ts';
import type { RigChannel } from '../../store/rig.ts';
import styles from './ChannelTable.module.css';
import type { KnownScale, RigFault } from './rig-channels.ts';

const OTHER = 'other';
const SHAFTS = [
  'propshaft',
  'wheel-front-left',
  'wheel-front-right',
  'wheel-rear-left',
  'wheel-rear-right',
  'engine',
] as const;

interface Props {
  channels: readonly RigChannel[];
  faults: readonly RigFault[];
  knownScale: KnownScale;
}

/** Every input: what hangs on it, where it sits, and what full scale means. */
export function ChannelTable({ channels, faults, knownScale }: Props) {
  const { t } = useTranslation();
  const sameFullScale = useApp((s) => s.sameFullScale);
  const first = channels[0]?.fullScale ?? '';
  const pickups = useApp((s) => s.settings.pickupSets).flatMap((set) => set.pickups.map((p) => p.name));
  const known = channels.every(
    (c) => c.use !== 'pickup' || (!c.relative && (knownScale(c) !== null || c.fullScale.trim() !== '')),
  );
  return (
    <div className={styles.box}>
      <table className={styles.table}>
        <caption className="visually-hidden">{t('setup.pickups')}</caption>
        <thead>
          <tr>
            <th scope="col">{t('setup.input')}</th>
            <th scope="col">{t('setup.use')}</th>
            <th scope="col">{t('setup.position')}</th>
            {pickups.length > 0 && <th scope="col">{t('setup.pickup')}</th>}
            <th scope="col">{t('setup.fullScale')}</th>
          </tr>
        </thead>
        <tbody>
          {channels.map((channel) => (
            <ChannelRow
              key={channel.channel}
              row={channel}
              pickups={pickups}
              knownScale={knownScale}
              faults={faults.filter((fault) => fault.channel === channel.channel)}
            />
          ))}
        </tbody>
      </table>
      <p className={styles.note}>
        <span>
          {t(known ? 'setup.absolute' : 'setup.relative')} {!known && t('setup.fullScaleHint')}
        </span>
        {first && (
          <Button onClick={() => sameFullScale(first)}>{t('setup.sameForAll', { value: first })}</Button>
        )}
      </p>
    </div>
  );
}

interface RowProps {
  row: RigChannel;
  pickups: readonly string[];
  knownScale: KnownScale;
  faults: readonly RigFault[];
}

function ChannelRow({ row, pickups, knownScale, faults }: RowProps) {
  const { t } = useTranslation();
  const id = useId();
  const changeChannel = useApp((s) => s.changeChannel);
  const change = (part: Partial<RigChannel>) => changeChannel(row.channel, part);
  const known = row.position === '' || (POSITIONS as readonly string[]).includes(row.position);
  const [naming, setNaming] = useState(!known);
  const label = (what: string) => `${t('setup.channel', { channel: row.channel })}: ${what}`;
  const fault = faults[0];
  const scale = knownScale(row);
  const invalid = {
    'aria-invalid': fault ? (true as const) : undefined,
    'aria-describedby': fault ? `${id}-fault` : undefined,
  };
  return (
    <tr>
      <th scope="row">{row.channel}</th>
      <td>
        <select
          aria-label={label(t('setup.use'))}
          value={row.use}
          onChange={(event) => change({ use: event.target.value as RigChannel['use'] })}
        >
          {(['pickup', 'tacho', 'none'] as const).map((use) => (
            <option key={use} value={use}>
              {t(`setup.uses.${use}`)}
            </option>
          ))}
        </select>
      </td>
      {row.use === 'pickup' && (
        <>
          <td>
            <select
              aria-label={label(t('setup.position'))}
              value={naming ? OTHER : row.position}
              onChange={(event) => {
                const other = event.target.value === OTHER;
                setNaming(other);
                change({ position: other ? '' : event.target.value });
              }}
            >
              <option value="">{t('setup.notPlaced')}</option>
              {POSITIONS.map((position) => (
                <option key={position} value={position}>
                  {positionName(t, position)}
                </option>
              ))}
              <option value={OTHER}>{t('setup.otherPlace')}</option>
            </select>
            {naming && (
              <input
                aria-label={label(t('setup.placeName'))}
                placeholder={t('setup.placeName')}
                value={row.position}
                onChange={(event) => change({ position: event.target.value })}
              />
            )}
          </td>
          {pickups.length > 0 && (
            <td>
              <select
                aria-label={label(t('setup.pickup'))}
                value={pickups.includes(row.pickup) ? row.pickup : ''}
                onChange={(event) => change({ pickup: event.target.value })}
                {...invalid}
              >
                <option value="">{t('setup.unknownPickup')}</option>
                {pickups.map((name) => (
                  <option key={name}>{name}</option>
                ))}
              </select>
              {fault?.field === 'pickup' && <Fault id={id} fault={fault} />}
            </td>
          )}
          <td>
            {row.relative ? (
              t('setup.saidRelative')
            ) : scale ? (
              <span>
                {Number(scale.fullScale_m_s2.toPrecision(4))}{' '}
                <small>{t(`setup.scaleFrom.${scale.from}`)}</small>
              </span>
            ) : (
              <input
                className={styles.number}
                inputMode="decimal"
                placeholder={t('setup.unknownScale')}
                aria-label={label(t('setup.fullScale'))}
                value={row.fullScale}
                onChange={(event) => change({ fullScale: event.target.value })}
                {...invalid}
              />
            )}
            {fault?.field === 'fullScale' && <Fault id={id} fault={fault} />}
          </td>
        </>
      )}
      {row.use === 'tacho' && (
        <>
          <td>
            <select
              aria-label={label(t('setup.shaft'))}
              value={row.shaft}
              onChange={(event) => change({ shaft: event.target.value })}
            >
              {SHAFTS.map((shaft) => (
                <option key={shaft} value={shaft}>
                  {t(`shaft.${shaft}`)}
                </option>
              ))}
            </select>
          </td>
          <td colSpan={pickups.length > 0 ? 2 : 1}>
            <input
              className={styles.number}
              inputMode="decimal"
              aria-label={label(t('setup.pulses'))}
              value={row.pulses}
              onChange={(event) => change({ pulses: event.target.value })}
              {...invalid}
            />{' '}
            {t('setup.pulses')}
            <Fault id={id} fault={fault} />
          </td>
        </>
      )}
      {row.use === 'none' && <td colSpan={pickups.length > 0 ? 3 : 2} />}
    </tr>
  );
}

function Fault({ id, fault }: { id: string; fault: RigFault | undefined }) {
  const errorText = useErrorText();
  if (!fault) return null;
  return (
    <span id={`${id}-fault`} className={styles.fault} role="alert">
      ⚠ {errorText(fault.error)}
    </span>
  );
}
