import { openApp } from '../../electron/service/open-app.ts';
import { english } from '../../shared/messages/tell.ts';

/** A program of its own: records the demo drive into the folder it is given and tells how far it has come. */
const app = await openApp({ dataFolder: process.argv[2]! });
app.subscribe((event) => {
  if (event.name === 'live.state' && event.payload.recording) {
    process.send!({ runId: event.payload.recording.runId, seconds: event.payload.recording.seconds });
  }
});
const must = async (name: string, input: unknown): Promise<void> => {
  const reply = await app.handle(name, input);
  if (!reply.ok) throw new Error(`${name}: ${english(reply.told)}`);
};
await must('live.listen', { on: false });
await must('live.open', { source: { kind: 'demo' }, visitId: null, channels: [] });
await must('live.record', { on: true });
// Marks show that what the technician does is kept as well, and make the state be told more often.
setInterval(() => void app.handle('live.mark', { text: 'mark' }), 100);
