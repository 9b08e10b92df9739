import type { DrivingState } from '../../../shared/driveline/words.ts';
import styles from './StatusStrip.module.css';

const PATHS: Record<DrivingState, string> = {
  drive: 'M12 3 20 13H15V21H9V13H4Z',
  coast: 'M12 21 4 11H9V3H15V11H20Z',
  float: 'M3 9H21V11H3ZM3 14H21V16H3Z',
  swayLeft: 'M19 21C19 13 15 9 9 9V4L2 11 9 18V13C13 13 15 15 15 21Z',
  swayRight: 'M5 21C5 13 9 9 15 9V4L22 11 15 18V13C11 13 9 15 9 21Z',
};

/** The driving state as a shape: push, brake, neither, left, right. */
export function StateSign({ state }: { state: DrivingState }) {
  return (
    <svg className={styles.sign} viewBox="0 0 24 24" aria-hidden="true">
      <path d={PATHS[state]} fill="currentColor" />
    </svg>
  );
}
