import '../../renderer/zod-without-eval.ts';
import { createFakeMain, type FakeMain } from './fake-transport.ts';

declare global {
  interface Window {
    fakeMain: FakeMain;
    /** Channels of the fake interface, set before this script runs. */
    fakeChannels?: number;
  }
}

// Stands where Electron's preload stands, so that the page under test is the one that ships.
window.fakeMain = createFakeMain(window.fakeChannels);
window.rumblepath = window.fakeMain;
// As after a crash of the window: the main side has gone on measuring.
if (sessionStorage.getItem('fakeDriving'))
  void window.fakeMain.request('live.open', { source: { kind: 'demo' }, visitId: null, channels: [] });
