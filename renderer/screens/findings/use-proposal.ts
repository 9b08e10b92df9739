import type { NextPlacement } from '../../../shared/diagnosis/findings.ts';
import { useApp } from '../../store/context.ts';
import type { Rig } from '../../store/rig.ts';

/**
 * Puts the pickups of the rig on the proposed places, the first pickup on the first; a tacho stays where it is. Leads
 * are laid anew, so the visit's cautions are to be ticked again.
 */
export function useProposal(visitId: number, proposed: readonly NextPlacement[]): () => void {
  const rig = useApp((s) => s.rig);
  const restoreRig = useApp((s) => s.restoreRig);
  const keepDraft = useApp((s) => s.keepDraft);
  return () => {
    const next = withPlaces(rig, proposed);
    restoreRig(next);
    void keepDraft(visitId, 'rigging', { cautionsTicked: [], rig: next });
  };
}

export function withPlaces(rig: Rig, proposed: readonly NextPlacement[]): Rig {
  const pickups = rig.channels.slice(0, rig.device.channels).filter((c) => c.use === 'pickup');
  const placeOf = (channel: number) =>
    proposed[pickups.findIndex((p) => p.channel === channel)]?.position ?? '';
  return {
    ...rig,
    source: 'device',
    channels: rig.channels.map((c) => ({ ...c, position: placeOf(c.channel) })),
  };
}
