import { useEffect, useState } from 'react';
import { useTranslation } from 'react-i18next';
import {
  BAUD_RATES,
  type BaudRate,
  LINK_KINDS,
  type LinkKind,
} from '../../../shared/contract/speed-requests.ts';
import { shown, unitOf } from '../../../shared/units/units.ts';
import { Button } from '../../components/Button.tsx';
import { SelectField, TextField } from '../../components/Field.tsx';
import { useTell } from '../../i18n/use-tell.ts';
import { useApp } from '../../store/context.ts';
import setup from './SetupScreen.module.css';
import styles from './SpeedPanel.module.css';

const PORTS = 'serial-ports';

/** Speed over a serial port: from a satellite receiver, from the vehicle's bus, or from both. */
export function SpeedPanel() {
  const { t } = useTranslation();
  const ports = useApp((s) => s.serialPorts);
  const loadSerialPorts = useApp((s) => s.loadSerialPorts);
  useEffect(() => void loadSerialPorts(), [loadSerialPorts]);
  return (
    <fieldset className={setup.panel}>
      <legend>{t('speedLink.title')}</legend>
      <p className={setup.soft}>{t('speedLink.hint')}</p>
      <datalist id={PORTS}>
        {ports.map((port) => (
          <option key={port.path} value={port.path}>
            {port.label}
          </option>
        ))}
      </datalist>
      {LINK_KINDS.map((kind) => (
        <LinkRow key={kind} kind={kind} />
      ))}
    </fieldset>
  );
}

function LinkRow({ kind }: { kind: LinkKind }) {
  const { t } = useTranslation();
  const tell = useTell();
  const units = useApp((s) => s.settings.units);
  const { port, baudRate, firstLines } = useApp((s) => s.linkChoices[kind]);
  const link = useApp((s) => s.live?.speed.links.find((l) => l.kind === kind));
  const chooseLink = useApp((s) => s.chooseLink);
  const openLink = useApp((s) => s.openLink);
  const loadSerialPorts = useApp((s) => s.loadSerialPorts);
  const command = useApp((s) => s.command);
  const [opening, setOpening] = useState(false);
  const open = async () => {
    setOpening(true);
    await openLink(kind);
    setOpening(false);
  };
  const name = t(`speedLink.${kind}`);
  return (
    <fieldset className={styles.row} aria-label={name}>
      <b className={styles.name}>{name}</b>
      <TextField
        label={t('speedLink.port')}
        list={PORTS}
        placeholder={t('speedLink.portExample')}
        value={port}
        disabled={link !== undefined}
        onFocus={() => void loadSerialPorts()}
        onChange={(event) => chooseLink(kind, { port: event.target.value })}
      />
      <SelectField
        label={t('speedLink.baudRate')}
        value={baudRate}
        disabled={link !== undefined}
        onChange={(event) => chooseLink(kind, { baudRate: Number(event.target.value) as BaudRate })}
      >
        {BAUD_RATES.map((rate) => (
          <option key={rate}>{rate}</option>
        ))}
      </SelectField>
      {kind === 'bus' ? (
        <TextField
          label={t('speedLink.firstLines')}
          value={firstLines}
          disabled={link !== undefined}
          onChange={(event) => chooseLink(kind, { firstLines: event.target.value })}
        />
      ) : (
        <span />
      )}
      {link ? (
        <Button onClick={() => void command('speed.close', { kind })}>{t('speedLink.close')}</Button>
      ) : (
        <Button disabled={opening || port.trim() === ''} onClick={() => void open()}>
          {t('speedLink.open')}
        </Button>
      )}
      <p className={styles.told} role="status">
        {link &&
          (link.problem ? (
            `⚠ ${tell(link.problem)}`
          ) : link.km_h === null ? (
            t('speedLink.waiting')
          ) : (
            <>
              <b>{shown(link.km_h, 'speed', units).toFixed(0)}</b> {unitOf('speed', units)}
              {link.engine_rpm !== null &&
                ` · ${t('speedLink.engine', { rpm: Math.round(link.engine_rpm) })}`}
            </>
          ))}
      </p>
    </fieldset>
  );
}
