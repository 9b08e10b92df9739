import type { ReactNode } from 'react';
import type { DriveLayout } from '../../shared/driveline/words.ts';
import { FIELD } from './places.ts';
import styles from './VehicleMap.module.css';

interface Props {
  /** Null draws every shaft faintly, because the layout is not known. */
  layout: DriveLayout | null;
  label: string;
  /** Things put on places, positioned in per cent of the field. */
  children: ReactNode;
}

/** The vehicle from above, front up: body, wheels and the shafts that its layout has. */
export function VehicleMap({ layout, label, children }: Props) {
  const rear = layout !== 'fwd';
  const front = layout !== 'rwd';
  const shaft = layout === null ? styles.maybe : styles.shaft;
  return (
    <fieldset className={styles.map}>
      <legend className="visually-hidden">{label}</legend>
      <svg viewBox={`0 0 ${FIELD.width} ${FIELD.height}`} className={styles.drawing} aria-hidden="true">
        <path
          className={styles.body}
          d="M24 28C24 9 33 3 50 3S76 9 76 28V142C76 160 70 167 50 167S24 160 24 142Z"
        />
        <path
          className={styles.glass}
          d="M29 62Q50 52 71 62L67 76Q50 70 33 76ZM32 132Q50 138 68 132L70 144Q50 150 30 144Z"
        />
        {[36, 134].map((y) =>
          [13, 87].map((x) => (
            <rect
              key={`${x} ${y}`}
              className={styles.wheel}
              x={x - 6.5}
              y={y - 13}
              width="13"
              height="26"
              rx="3"
            />
          )),
        )}
        {front && <path className={shaft} d="M19 36H81" />}
        {rear && <path className={shaft} d="M19 134H81M50 60V134" />}
        <rect className={styles.unit} x="38" y="10" width="24" height="18" rx="3" />
        <path className={styles.unit} d="M42 30H58L55 66H45Z" />
        {front && <ellipse className={styles.unit} cx="50" cy="36" rx="8" ry="5" />}
        {rear && <ellipse className={styles.unit} cx="50" cy="134" rx="8" ry="6" />}
      </svg>
      {children}
    </fieldset>
  );
}

/** A place's offset inside the map. */
export const placeStyle = ({ x, y }: { x: number; y: number }) => ({
  insetInlineStart: `${(x / FIELD.width) * 100}%`,
  insetBlockStart: `${(y / FIELD.height) * 100}%`,
});
