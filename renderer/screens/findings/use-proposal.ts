import type { NextPlacement } from '../../../shared/diagnosis/findings.ts';
import { useApp } from '../../store/context.ts';

/** Puts the pickups of the rig on the proposed places, the first pickup on the first; a tacho stays where it is. */
export function useProposal(proposed: readonly NextPlacement[]): () => void {
  const rig = useApp((s) => s.rig);
  const setPlacement = useApp((s) => s.setPlacement);
  return () => {
    const pickups = rig.channels.slice(0, rig.device.channels).filter((c) => c.use === 'pickup');
    setPlacement(
      pickups.flatMap(({ channel }, i) => {
        const place = proposed[i];
        return place ? [{ channel, position: place.position }] : [];
      }),
    );
  };
}
