import { useState } from 'react';
import { useTranslation } from 'react-i18next';
import { useLocation } from 'wouter';
import type { KeptFindings } from '../../../shared/contract/findings-requests.ts';
import type { Visit } from '../../../shared/contract/garage.ts';
import type { Source } from '../../../shared/driveline/words.ts';
import { KeyButton } from '../../components/KeyButton.tsx';
import { useOrderName } from '../../i18n/use-order-name.ts';
import { useApp } from '../../store/context.ts';
import { type KeyHandlers, useKeys } from '../../use-keys.ts';
import { useListenKeys } from '../live/use-listen-keys.ts';
import { EvidenceMap } from './EvidenceMap.tsx';
import { EvidencePlayer } from './EvidencePlayer.tsx';
import styles from './FindingsScreen.module.css';
import { FindingsSpectra } from './FindingsSpectra.tsx';
import { evidenceName } from './findings-words.ts';
import { NextInShort, NextStep } from './NextStep.tsx';
import { type MapShows, placeLevels, runsOf } from './place-levels.ts';
import { RankedParts } from './RankedParts.tsx';
import { RecordingDoubts } from './RecordingDoubts.tsx';
import { useEvidencePlayer } from './use-evidence-player.ts';
import { useProposal } from './use-proposal.ts';

/** Less probable parts are only counted, as the analysis gives them no sentences either. */
const WORTH_A_LINE = 0.02;

export function FindingsView({ kept, visit }: { kept: KeptFindings; visit: Visit }) {
  const { t, i18n } = useTranslation();
  const orderName = useOrderName();
  const [, navigate] = useLocation();
  const { findings, visitId } = kept;
  const { convincing, sources } = findings;
  const live = useApp((s) => s.live!);
  const layout = useApp((s) =>
    s.vehiclePage?.vehicle.id === visit.vehicleId ? s.vehiclePage.vehicle.spec.layout : null,
  );
  const runs = runsOf(findings);
  const [run, setRun] = useState(convincing?.loud.run ?? runs[0] ?? 1);
  const [shows, setShows] = useState<MapShows>(convincing ? 'evidence' : 'overall');
  const [part, setPart] = useState<Source>(sources[0]!.source);
  const [chosen, setChosen] = useState<number | null>(null);
  const player = useEvidencePlayer(visitId);
  const propose = useProposal(visitId, findings.nextPlacement);

  const ranked = sources.filter((s, i) => i === 0 || s.probability >= WORTH_A_LINE);
  const levels = placeLevels(findings, shows, run);
  const channels = visit.runs.find((r) => r.id === kept.runIds[run - 1])?.channels ?? [];
  const first =
    convincing?.loud.run === run
      ? convincing.loud.channel
      : levels.reduce<number | null>(
          (best, l) =>
            best === null || (l.level_db ?? -999) > (levels.find((b) => b.channel === best)?.level_db ?? -999)
              ? l.channel
              : best,
          null,
        );
  const channel = channels.some((c) => c.channel === chosen) ? chosen : first;

  const stepPart = (by: 1 | -1) => () => {
    const at = ranked.findIndex((s) => s.source === part) + by;
    setPart(ranked[(at + ranked.length) % ranked.length]!.source);
  };
  const setUp = () => {
    propose();
    navigate(`/setup/${visitId}`);
  };
  // The screen around has Escape, which stops an analysis as well.
  const { dismissNotices: _, ...listenKeys } = useListenKeys(live);
  const keys: KeyHandlers = {
    ...listenKeys,
    playStop: player.playOrStop,
    flipPlaces: player.flip,
    nextPart: stepPart(1),
    partBefore: stepPart(-1),
    nextRun: () => setRun(runs[(runs.indexOf(run) + 1) % runs.length] ?? run),
    mapShows: () => {
      if (convincing) setShows(shows === 'evidence' ? 'overall' : 'evidence');
    },
    showChannel: (name) => {
      if (channels.some((c) => c.channel === Number(name))) setChosen(Number(name));
    },
    useProposal: () => {
      if (findings.nextPlacement.length > 0) setUp();
    },
  };
  useKeys('findings', keys);

  return (
    <>
      <NextInShort findings={findings} onSetUp={setUp} />
      <RecordingDoubts findings={findings} />
      {runs.length > 1 && (
        <fieldset className={styles.runs}>
          <legend className="visually-hidden">{t('findings.spectra.runs')}</legend>
          {runs.map((number) => (
            <button
              key={number}
              type="button"
              aria-pressed={number === run}
              className={styles.run}
              onClick={() => setRun(number)}
            >
              {t('findings.spectra.run', { number })}
            </button>
          ))}
          <KeyButton action="nextRun" keys={keys} />
        </fieldset>
      )}
      <div className={styles.columns}>
        <EvidenceMap
          findings={findings}
          layout={layout}
          levels={levels}
          shows={shows}
          part={part}
          channel={channel}
          choose={setChosen}
          setShows={setShows}
          keys={keys}
        />
        <div className={styles.beside}>
          <EvidencePlayer
            convincing={convincing}
            name={convincing && evidenceName(t, convincing, findings.lines, orderName, i18n.language)}
            player={player}
            keys={keys}
          />
          <RankedParts
            ranked={ranked}
            others={sources.slice(ranked.length)}
            part={part}
            choose={setPart}
            keys={keys}
          />
          <NextStep findings={findings} />
        </div>
      </div>
      <FindingsSpectra
        findings={findings}
        channels={channels}
        run={run}
        channel={channel}
        part={part}
        keys={keys}
      />
    </>
  );
}
