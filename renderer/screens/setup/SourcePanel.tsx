import { useEffect } from 'react';
import { useTranslation } from 'react-i18next';
import { Button } from '../../components/Button.tsx';
import { SelectField } from '../../components/Field.tsx';
import { formatNumber } from '../../format.ts';
import { useApp } from '../../store/context.ts';
import { type DeviceChoice, MAX_CHANNELS } from '../../store/rig.ts';
import styles from './SetupScreen.module.css';

const RATES = [44100, 48000, 96000] as const;
const BITS = [16, 24, 32] as const;

/** Where the samples come from: an interface, with its channels and rate, or the built-in demo drive. */
export function SourcePanel() {
  const { t, i18n } = useTranslation();
  const { source, device } = useApp((s) => s.rig);
  const devices = useApp((s) => s.devices);
  const chooseSource = useApp((s) => s.chooseSource);
  const chooseDevice = useApp((s) => s.chooseDevice);
  const loadDevices = useApp((s) => s.loadDevices);
  const inputs = devices?.filter((d) => d.inputChannels > 0) ?? [];
  const chosen = inputs.find((d) => d.name === device.name);
  const nothingThere = devices !== null && inputs.length === 0 && device.name === '';
  useEffect(() => {
    if (nothingThere) chooseSource('demo');
  }, [nothingThere, chooseSource]);
  const most = Math.min(MAX_CHANNELS, chosen?.inputChannels ?? device.channels);
  return (
    <fieldset className={styles.panel}>
      <legend>{t('setup.source')}</legend>
      <div className={styles.choices}>
        <div className={styles.kinds}>
          {(['device', 'demo'] as const).map((kind) => (
            <label key={kind} className={styles.choice}>
              <input
                type="radio"
                name="source"
                checked={source === kind}
                onChange={() => chooseSource(kind)}
              />
              <span>
                <b>{t(`source.${kind}`)}</b>
                <span className={styles.soft}>
                  {t(kind === 'device' ? 'setup.deviceHint' : 'setup.demoHint')}
                </span>
              </span>
            </label>
          ))}
        </div>
        <OutputField />
      </div>
      {source === 'device' && (
        <div className={styles.fields}>
          <SelectField
            label={t('setup.device')}
            value={chosen ? device.name : ''}
            error={
              devices && !chosen && device.name ? t('setup.deviceGone', { name: device.name }) : undefined
            }
            onChange={(event) => {
              const next = inputs.find((d) => d.name === event.target.value);
              if (next)
                chooseDevice({ name: next.name, channels: Math.min(MAX_CHANNELS, next.inputChannels) });
            }}
          >
            <option value="" disabled>
              {devices === null
                ? t('setup.searching')
                : inputs.length === 0
                  ? t('setup.noDevice')
                  : t('setup.chooseDevice')}
            </option>
            {inputs.map((d) => (
              <option key={`${d.hostApi} ${d.name}`} value={d.name}>
                {d.name} ({t('setup.inputs', { count: d.inputChannels })}, {d.hostApi})
              </option>
            ))}
          </SelectField>
          <SelectField
            label={t('setup.channels')}
            value={device.channels}
            onChange={(event) => chooseDevice({ channels: Number(event.target.value) })}
          >
            {Array.from({ length: most }, (_, i) => i + 1).map((n) => (
              <option key={n}>{n}</option>
            ))}
          </SelectField>
          <SelectField
            label={t('setup.rate')}
            value={device.sampleRate_Hz}
            onChange={(event) =>
              chooseDevice({ sampleRate_Hz: Number(event.target.value) as DeviceChoice['sampleRate_Hz'] })
            }
          >
            {RATES.map((rate) => (
              <option key={rate} value={rate} disabled={chosen?.inputRates_Hz?.includes(rate) === false}>
                {formatNumber(rate / 1000, i18n.language)} kHz
              </option>
            ))}
          </SelectField>
          <SelectField
            label={t('setup.bits')}
            value={device.bits}
            onChange={(event) => chooseDevice({ bits: Number(event.target.value) as DeviceChoice['bits'] })}
          >
            {BITS.map((bits) => (
              <option key={bits} value={bits}>
                {bits} bit
              </option>
            ))}
          </SelectField>
          <Button className={styles.again} onClick={() => void loadDevices()}>
            {t('setup.searchAgain')}
          </Button>
        </div>
      )}
    </fieldset>
  );
}

/** Where the heard channel is played. */
function OutputField() {
  const { t } = useTranslation();
  const output = useApp((s) => s.live?.listening.output ?? '');
  const devices = useApp((s) => s.devices);
  const command = useApp((s) => s.command);
  const names = new Set(devices?.filter((d) => d.outputChannels > 0).map((d) => d.name));
  if (output) names.add(output);
  return (
    <div className={styles.output}>
      <SelectField
        label={t('setup.output')}
        value={output}
        onChange={(event) => void command('live.listen', { output: event.target.value || null })}
      >
        <option value="">{t('setup.defaultOutput')}</option>
        {[...names].map((name) => (
          <option key={name}>{name}</option>
        ))}
      </SelectField>
    </div>
  );
}
