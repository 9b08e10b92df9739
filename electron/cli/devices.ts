import type { Command } from 'commander';
import { listDevices } from '../../native/capture/devices.ts';
import { print } from './print.ts';

export function registerDevices(program: Command): void {
  program
    .command('devices')
    .description('list the sound interfaces with their channels and rates')
    .option('--json', 'one JSON array on standard output')
    .action(async ({ json }: { json?: true }) => {
      const devices = await listDevices();
      if (json) return print.json(devices);
      if (devices.length === 0) return print.line('No sound interface was found; plug one in and try again.');
      for (const d of devices) {
        const rates = d.inputRates_Hz ? `, input at ${d.inputRates_Hz.join(', ')} Hz` : '';
        print.line(`${d.name} (${d.hostApi}): ${d.inputChannels} in, ${d.outputChannels} out${rates}`);
      }
    });
}
