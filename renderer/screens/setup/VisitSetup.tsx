import { useEffect, useEffectEvent, useRef, useState } from 'react';
import { useTranslation } from 'react-i18next';
import { useLocation } from 'wouter';
import { z } from 'zod';
import type { BundleChannel } from '../../../shared/bundle/visit.ts';
import type { VisitWork } from '../../../shared/contract/visit-work.ts';
import { type Caution, CautionSchema } from '../../../shared/visit-work/cautions.ts';
import { Button } from '../../components/Button.tsx';
import { stepPath } from '../../steps.ts';
import { useApp } from '../../store/context.ts';
import { type Rig, RigSchema } from '../../store/rig.ts';
import { CautionTicks } from './CautionTicks.tsx';
import { ChecksPanel } from './ChecksPanel.tsx';
import { knownScales, rigChannels, riggingOf } from './rig-channels.ts';
import { SetupForm } from './SetupForm.tsx';

/** What the visit keeps of the set-up before it is connected. */
const DraftSchema = z.object({ cautionsTicked: z.array(CautionSchema), rig: RigSchema });
const KEEP_AFTER_ms = 250;

/** The set-up of a visit: ticked, checked, and kept with it. */
export function VisitSetup({ work }: { work: VisitWork }) {
  const { visitId, rigging, intake } = work;
  const { t } = useTranslation();
  const [, navigate] = useLocation();
  const changeWork = useApp((s) => s.changeWork);
  const fail = useApp((s) => s.fail);
  const loadVisit = useApp((s) => s.loadVisit);
  const lastRun = useApp((s) => (s.visit?.id === visitId ? s.visit.runs.at(-1) : undefined));
  const rig = useApp((s) => s.rig);
  useEffect(() => void loadVisit(visitId), [loadVisit, visitId]);
  const { ticked, tick } = useKeptSetup(work, rig);

  const keep = async (channels: readonly BundleChannel[]) => {
    const name = rig.source === 'device' ? rig.device.name : null;
    await changeWork('work.saveRigging', {
      visitId,
      rigging: riggingOf(channels, rig.channels, name, ticked),
    });
  };
  const goOn = async (to: string) => {
    // Ticks that were set after connecting belong to the visit too.
    if (rigging.channels.length > 0 && ticked.length !== rigging.cautionsTicked.length)
      await changeWork('work.saveRigging', {
        visitId,
        rigging: { ...rigging, cautionsTicked: ticked },
      }).catch(fail);
    if (rigging.channels.length === 0)
      await changeWork('work.skip', { visitId, step: 'rigging', skipped: true }).catch(fail);
    navigate(to);
  };
  const followScale = useFollowedScales(visitId);
  return (
    <SetupForm
      visitId={visitId}
      layout={intake.driveline.layout}
      lastPlaces={lastRun?.channels}
      cautions={<CautionTicks electricDrive={intake.driveline.electricDrive} ticked={ticked} onTick={tick} />}
      checks={<ChecksPanel work={work} onScale={followScale} />}
      keep={keep}
      goOn={
        <>
          <Button
            primary={rigging.channels.length > 0}
            onClick={() => void goOn(stepPath(visitId, 'roadCard'))}
          >
            {rigging.channels.length > 0 ? t('work.goOn', { step: t('work.step.roadCard') }) : t('work.skip')}
          </Button>
          {rigging.channels.length > 0 && (
            <Button onClick={() => void goOn('/live')}>{t('setup.toLive')}</Button>
          )}
        </>
      }
    />
  );
}

/** Placements and ticks are kept with the visit as they are made, and found again when it is opened. */
function useKeptSetup(work: VisitWork, rig: Rig) {
  const { visitId, rigging } = work;
  const keepDraft = useApp((s) => s.keepDraft);
  const restoreRig = useApp((s) => s.restoreRig);
  const setPlacement = useApp((s) => s.setPlacement);
  const draft = DraftSchema.safeParse(work.drafts.rigging).data;
  const restored = useRef(false);
  const ticked = draft?.cautionsTicked ?? rigging.cautionsTicked;
  useEffect(() => {
    if (restored.current) return;
    restored.current = true;
    if (draft) restoreRig(draft.rig);
    else if (rig.channels.every((c) => c.position === '')) setPlacement(rigging.channels);
  }, [draft, rig, rigging, restoreRig, setPlacement]);
  const touched = useTouched();
  const first = useRef(rig);
  useEffect(() => {
    if (rig === first.current) return;
    first.current = rig;
    if (!touched.current) return;
    const timer = setTimeout(
      () => void keepDraft(visitId, 'rigging', { cautionsTicked: ticked, rig }),
      KEEP_AFTER_ms,
    );
    return () => clearTimeout(timer);
  }, [rig, ticked, keepDraft, visitId, touched]);
  return {
    ticked,
    tick(caution: Caution, on: boolean) {
      const next = on ? [...ticked, caution] : ticked.filter((c) => c !== caution);
      void keepDraft(visitId, 'rigging', { cautionsTicked: next, rig });
    },
  };
}

/** A pickup's full scale was calibrated, or is said to be relative: the running channels follow at once. */
function useFollowedScales(visitId: number) {
  const rig = useApp((s) => s.rig);
  const settings = useApp((s) => s.settings);
  const runs = useApp((s) => s.live?.visitId === visitId && s.live.source?.kind === 'device');
  const changeChannel = useApp((s) => s.changeChannel);
  const loadSettings = useApp((s) => s.loadSettings);
  const command = useApp((s) => s.command);
  const [changes, setChanges] = useState(0);
  const apply = useEffectEvent(() => {
    if (!runs) return;
    const known = knownScales(settings, rig.device.name);
    const { channels, faults } = rigChannels(rig.channels.slice(0, rig.device.channels), known);
    if (faults.length === 0) void command('live.setChannels', { channels });
  });
  useEffect(() => {
    if (changes > 0) apply();
  }, [changes]);
  return async (channel: number, relative: boolean) => {
    changeChannel(channel, { relative });
    await loadSettings();
    setChanges((n) => n + 1);
  };
}

/** Whether the technician has done anything here yet: what the screen sets up by itself is no draft of his. */
function useTouched() {
  const touched = useRef(false);
  useEffect(() => {
    const touch = () => {
      touched.current = true;
    };
    const first = { capture: true, once: true };
    window.addEventListener('keydown', touch, first);
    window.addEventListener('pointerdown', touch, first);
    return () => {
      window.removeEventListener('keydown', touch, first);
      window.removeEventListener('pointerdown', touch, first);
    };
  }, []);
  return touched;
}
