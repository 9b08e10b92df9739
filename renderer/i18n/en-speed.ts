/** The words of the speed links; what is wrong with one is said by the main side. */
export const SPEED_LINK_WORDS = {
  title: 'Speed over a serial port',
  hint: 'Sharper than a speed set by hand. With both, the receiver gives the road speed and the bus the engine speed. A tacho goes before either.',
  satellite: 'Satellite receiver',
  bus: 'Vehicle bus',
  port: 'Port',
  portExample: '/dev/ttyUSB0 or COM3',
  baudRate: 'Baud rate',
  firstLines: 'Sent first, parted by ;',
  open: 'Open',
  close: 'Close',
  waiting: 'Waiting for a speed …',
  engine: 'engine {{rpm}} 1/min',
} as const;
