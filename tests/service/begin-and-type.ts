import { openApp } from '../../electron/service/open-app.ts';
import { english } from '../../shared/messages/tell.ts';

/** Begins a visit and types on and on into its intake, telling every letter that has been kept, until it is killed. */
const [dataFolder] = process.argv.slice(2);
const app = await openApp({ dataFolder: dataFolder! });
const begun = await app.handle('work.begin', { vehicleId: null });
if (!begun.ok) throw new Error(english(begun.told));
const { visitId } = begun.value as { visitId: number };
for (let letters = 1; ; letters++) {
  const value = { ownerWords: 'x'.repeat(letters), odometer_km: '12o' };
  const reply = await app.handle('drafts.save', { visitId, form: 'intake', value });
  if (!reply.ok) throw new Error(english(reply.told));
  // Waiting for the reader, so that a reader who is gone ends this too.
  await new Promise<void>((told) => process.stdout.write(`${visitId} ${letters}\n`, () => told()));
}
