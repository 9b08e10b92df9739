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
