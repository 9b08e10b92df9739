import type { SameKeys } from '../../shared/messages/same-keys.ts';
import type { SPEED_LINK_WORDS as en } from './en-speed.ts';

export const SPEED_LINK_WORDS: SameKeys<typeof en> = {
  title: 'Geschwindigkeit über eine serielle Schnittstelle',
  hint: 'Schärfer als eine von Hand eingegebene. Mit beiden gibt der Empfänger die Fahrgeschwindigkeit und der Bus die Motordrehzahl. Ein Drehzahlgeber geht beiden vor.',
  satellite: 'Satellitenempfänger',
  bus: 'Fahrzeugbus',
  port: 'Schnittstelle',
  portExample: '/dev/ttyUSB0 oder COM3',
  baudRate: 'Baudrate',
  firstLines: 'Zuerst gesendet, getrennt durch ;',
  open: 'Öffnen',
  close: 'Schließen',
  waiting: 'Wartet auf eine Geschwindigkeit …',
  engine: 'Motor {{rpm}} 1/min',
};
