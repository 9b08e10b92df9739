import type { CSSProperties } from 'react';
import { useTranslation } from 'react-i18next';
import type { Findings } from '../../../shared/diagnosis/findings.ts';
import type { DriveLayout, KnownPosition, Source } from '../../../shared/driveline/words.ts';
import { PLACES } from '../../../shared/vehicle-view/vehicle-view.ts';
import { KeyButton } from '../../components/KeyButton.tsx';
import { placeStyle, VehicleMap } from '../../components/VehicleMap.tsx';
import { positionName } from '../../i18n/words.ts';
import type { KeyHandlers } from '../../use-keys.ts';
import styles from './EvidenceMap.module.css';
import { percent } from './findings-words.ts';
import type { MapShows, PlaceLevel } from './place-levels.ts';

interface Props {
  findings: Findings;
  layout: DriveLayout | null;
  levels: readonly PlaceLevel[];
  shows: MapShows;
  /** The part that is marked. */
  part: Source;
  /** The channel whose spectrum is shown. */
  channel: number | null;
  choose(channel: number): void;
  setShows(shows: MapShows): void;
  keys: KeyHandlers;
}

/** Where a part's mark hangs, clear of the discs of the pickups on it. */
const MARKS: Record<Exclude<Source, 'none'>, { x: number; y: number }> = {
  'wheel-bearing-front-left': { x: 13, y: 56 },
  'wheel-bearing-front-right': { x: 87, y: 56 },
  'wheel-bearing-rear-left': { x: 13, y: 154 },
  'wheel-bearing-rear-right': { x: 87, y: 154 },
  'tyre-front-left': { x: 13, y: 56 },
  'tyre-front-right': { x: 87, y: 56 },
  'tyre-rear-left': { x: 13, y: 154 },
  'tyre-rear-right': { x: 87, y: 154 },
  'differential-front': { x: 50, y: 50 },
  'differential-rear': { x: 73, y: 153 },
  'propshaft-centre-bearing': { x: 72, y: 93 },
  transmission: { x: 74, y: 60 },
  engine: { x: 74, y: 14 },
};

const known = (position: string): position is KnownPosition => position in PLACES;
/** The stylesheet makes the diameter of it. */
const sized = (size: number) => ({ '--size': size }) as CSSProperties;
const whole = (level_db: number) => String(Math.round(level_db)).replace('-', '−');

/** The vehicle from above with a level at every place, by number and size, and the part that is looked at. */
export function EvidenceMap({ findings, layout, levels, shows, part, channel, keys, ...act }: Props) {
  const { t } = useTranslation();
  const { convincing, sources, nextPlacement } = findings;
  const probability = sources.find((s) => s.source === part)?.probability ?? 0;
  const inWords = (level: PlaceLevel) => {
    const words = { position: positionName(t, level.position), run: level.run, channel: level.channel };
    if (level.level_db === null) return t('findings.map.placeBad', words);
    const text = whole(level.level_db);
    return t(level.heard ? 'findings.map.place' : 'findings.map.placeBelow', { ...words, level: text });
  };
  const relative = findings.channels.some((c) => c.rms_m_s2 === null);
  const unit =
    shows === 'overall'
      ? t('findings.map.overallUnit')
      : convincing &&
        t(`findings.map.${convincing.kind === 'band' && relative ? 'bandRelative' : convincing.kind}`);
  const disc = (level: PlaceLevel, place: { x: number; y: number } | null) => (
    <button
      key={level.channel}
      type="button"
      className={[
        styles.disc,
        level.heard ? '' : styles.below,
        level.level_db === null ? styles.bad : '',
        place ? '' : styles.listed,
      ].join(' ')}
      style={{ ...(place && placeStyle(place)), ...sized(level.size) }}
      aria-pressed={level.channel === channel}
      aria-label={inWords(level)}
      title={inWords(level)}
      onClick={() => act.choose(level.channel)}
    >
      {level.level_db === null ? '✕' : `${level.heard ? '' : '<'}${whole(level.level_db)}`}
    </button>
  );
  const listed = levels.filter((l) => !known(l.position));
  return (
    <section className={styles.panel} aria-labelledby="map-title">
      <h2 id="map-title" className={styles.title}>
        {t('findings.map.title')}
        <KeyButton action="mapShows" keys={keys} />
      </h2>
      <fieldset className={styles.choices}>
        <legend className="visually-hidden">{t('findings.map.title')}</legend>
        {(['evidence', 'overall'] as const).map((kind) => (
          <button
            key={kind}
            type="button"
            className={styles.choice}
            aria-pressed={shows === kind}
            disabled={kind === 'evidence' && !convincing}
            onClick={() => act.setShows(kind)}
          >
            {t(`findings.map.${kind}`)}
          </button>
        ))}
      </fieldset>
      {levels.length === 0 && <p>{t('findings.map.nothing')}</p>}
      <VehicleMap layout={layout} label={t('setup.map')}>
        <span className={styles.front}>{t('setup.front')}</span>
        {part !== 'none' && (
          <span className={styles.part} style={placeStyle(MARKS[part])}>
            <span className="visually-hidden">{t(`part.${part}`)} </span>
            {percent(t, probability)}
          </span>
        )}
        {nextPlacement.map(
          ({ position }, i) =>
            known(position) && (
              <span key={position} className={styles.next} style={placeStyle(PLACES[position])}>
                <span className="visually-hidden">{t('findings.map.next')} </span>
                <span className={styles.number}>{i + 1}</span>
              </span>
            ),
        )}
        {levels.map((level) => known(level.position) && disc(level, PLACES[level.position]))}
      </VehicleMap>
      {listed.length > 0 && (
        <ul className={styles.others} aria-label={t('findings.map.other')}>
          {listed.map((level) => (
            <li key={level.channel}>
              {disc(level, null)} {level.position}
            </li>
          ))}
        </ul>
      )}
      <p className={styles.legend}>
        {unit}. {levels.some((l) => l.level_db !== null && !l.heard) && t('findings.map.dashed')}{' '}
        {levels.some((l) => l.level_db === null) && t('findings.map.cross')}{' '}
        {nextPlacement.length > 0 && (
          <>
            <span className={styles.number}>1</span> {t('findings.map.next')}.
          </>
        )}
      </p>
    </section>
  );
}
