import { join } from 'node:path';
import { openApp } from '../../../electron/service/open-app.ts';
import { english } from '../../../shared/messages/tell.ts';

/**
 * A program of its own that does one kind of work in the garage of `dataFolder`, again and again, until it is killed.
 * Arguments: the kind, the data folder, and a folder with `bundle` (a visit) and `backup` (of the garage).
 */
const [kind, dataFolder, around] = process.argv.slice(2) as [string, string, string];
let app = await openApp({ dataFolder });

const must = async (name: string, input: unknown): Promise<void> => {
  const reply = await app.handle(name, input);
  if (!reply.ok) throw new Error(`${name}: ${english(reply.told)}`);
};

const WORK: Record<string, (round: number) => Promise<void>> = {
  import: () => must('bundles.import', { folder: join(around, 'bundle'), vehicleId: null }),
  export: (round) =>
    must('bundles.export', { visitId: 1, folder: join(around, `exported-${round % 3}-${round}`) }),
  backup: async () => {
    await must('vehicles.add', {
      plate: '',
      vin: null,
      ownerNote: '',
      spec: { label: 'one more', layout: 'fwd' },
    });
    await must('garage.backUp', { folder: join(around, 'backup') });
  },
  restore: async () => {
    await must('garage.restore', { folder: join(around, 'backup') });
    await app.close();
    app = await openApp({ dataFolder });
  },
  report: () => must('report.save', { visitId: 1, format: 'html' }),
};

process.send!('begun');
for (let round = 0; ; round++) await WORK[kind]!(round);
