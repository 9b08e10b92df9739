import type { BaudRate, LinkKind } from '../../shared/contract/speed-requests.ts';
import { BUS_FIRST_LINES } from '../../shared/speed/bus-protocol.ts';
import type { Client } from '../transport/client.ts';
import type { Slice } from './slice.ts';

/** How a speed link is opened; kept on this computer. */
export interface LinkChoice {
  port: string;
  baudRate: BaudRate;
  /** As typed: lines for a bus adapter, parted by semicolons. */
  firstLines: string;
}

export interface SpeedLinksSlice {
  linkChoices: Record<LinkKind, LinkChoice>;
  serialPorts: { path: string; label: string }[];
  chooseLink(kind: LinkKind, change: Partial<LinkChoice>): void;
  loadSerialPorts(): Promise<void>;
  /** A refusal is shown as one sentence. */
  openLink(kind: LinkKind): Promise<void>;
}

/** The parting signs between lines, with the spaces that one types around them. */
const PARTING = ';';
const linesOf = (typed: string): string[] =>
  typed
    .split(PARTING)
    .map((line) => line.trim())
    .filter((line) => line !== '');

export const speedLinksSlice =
  (client: Client): Slice<SpeedLinksSlice> =>
  (set, get) => ({
    linkChoices: {
      satellite: { port: '', baudRate: 4800, firstLines: '' },
      bus: { port: '', baudRate: 38400, firstLines: BUS_FIRST_LINES.join(`${PARTING} `) },
    },
    serialPorts: [],
    chooseLink(kind, change) {
      const { linkChoices } = get();
      set({ linkChoices: { ...linkChoices, [kind]: { ...linkChoices[kind], ...change } } });
    },
    async loadSerialPorts() {
      await client.call('speed.ports', null).then((serialPorts) => set({ serialPorts }), get().fail);
    },
    async openLink(kind) {
      const { port, baudRate, firstLines } = get().linkChoices[kind];
      await get().command(
        'speed.open',
        kind === 'satellite'
          ? { kind, port: port.trim(), baudRate }
          : { kind, port: port.trim(), baudRate, firstLines: linesOf(firstLines) },
      );
    },
  });
