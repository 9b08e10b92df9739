import { listSerialPorts } from '../../native/speed/serial-port.ts';
import type { SPEED_REQUESTS } from '../../shared/contract/speed-requests.ts';
import type { LiveSession } from '../live/live-session.ts';
import { SpeedLinks } from '../live/speed-link.ts';
import type { Handlers } from './dispatch.ts';

/** The speed links behind their requests; what they tell goes into the live session. */
export function speedLinks(live: LiveSession): {
  handlers: Pick<Handlers, keyof typeof SPEED_REQUESTS>;
  close(): Promise<void>;
} {
  const links = new SpeedLinks({
    onReading: (from, reading) => live.takeSpeed(from, reading),
    onChanged: (states) => live.showSpeedLinks(states),
  });
  return {
    handlers: {
      'speed.ports': () => listSerialPorts(),
      'speed.open': (link) => links.open(link),
      'speed.close': ({ kind }) => links.close(kind),
    },
    close: () => links.closeAll(),
  };
}
