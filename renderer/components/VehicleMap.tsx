import type { ReactNode } from 'react';
import type { DriveLayout } from '../../shared/driveline/words.ts';
import { FIELD, OUTLINE, WHEEL_CENTRES } from '../../shared/vehicle-view/vehicle-view.ts';
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
        <path className={styles.body} d={OUTLINE.body} />
        <path className={styles.glass} d={OUTLINE.glass} />
        {WHEEL_CENTRES.map(({ x, y }) => (
          <rect
            key={`${x} ${y}`}
            className={styles.wheel}
            x={x - 6.5}
            y={y - 13}
            width="13"
            height="26"
            rx="3"
          />
        ))}
        {front && <path className={shaft} d={OUTLINE.frontShafts} />}
        {rear && <path className={shaft} d={OUTLINE.rearShafts} />}
        <path className={styles.unit} d={OUTLINE.engine} />
        <path className={styles.unit} d={OUTLINE.gearbox} />
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
