import { bypass, control, leg, OFTEN, snubber, storage, USUAL } from './blocks.ts';
import { bulk, parallel, SNUBBER, sense } from './questions.ts';
import type { Sheet } from './sheet.ts';
import type { Size, Skeleton } from './skeleton.ts';

const DRIVE = 'V12_DRV';

/** Half bridges between two rails, with a filter to each loudspeaker. */
export const CLASS_D: Skeleton = {
  name: 'class-d',
  title: 'Class-D stage',
  summary: 'half bridges between plus and minus rails, with a filter to each loudspeaker',
  questions: [
    {
      name: 'volts',
      ask: 'Volts of each rail, plus and minus:',
      is: 'volts',
      most: 200,
      usual: 50,
    },
    { name: 'channels', ask: 'Channels:', is: 'count', least: 1, most: 8, usual: 2 },
    parallel(1),
    bulk(2),
    sense(false),
    SNUBBER,
  ],
  draw: (size, sheet) => {
    const volts = size.number('volts');
    sheet.rail('plus', 'VP', 'GND', volts);
    sheet.rail('minus', 'GND', 'VN', volts);
    sheet.rail('gate drive', DRIVE, 'VN', 12);
    supply(size, sheet, volts);
    const names = Array.from({ length: size.number('channels') }, (_, i) => String(i + 1));
    for (const name of names) channel(size, sheet, name, volts);
    const inputs = names.flatMap((name) => [`HIN_${name}`, `LIN_${name}`]);
    const feet = size.flag('sense') ? names.map((name) => `SENSE_${name}`) : [];
    control(sheet, { supply: DRIVE, minus: 'VN', nets: [...inputs, ...feet] });
  },
};

function supply(size: Size, sheet: Sheet, volts: number): void {
  sheet.heading('Supply in');
  sheet.part('J', 'connector', { 1: 'VP_IN', 2: 'GND', 3: 'VN_IN' }, { text: 'supply' });
  sheet.part('F', 'fuse', ['VP_IN', 'VP']);
  sheet.part('F', 'fuse', ['VN_IN', 'VN']);
  const count = size.number('bulk');
  storage(sheet, { plus: 'VP', minus: 'GND', volts, bulk: count }, 'plus bulk');
  storage(sheet, { plus: 'GND', minus: 'VN', volts, bulk: count }, 'minus bulk');
  bypass(sheet, 'VP', 'VN', volts * 2);
}

function channel(size: Size, sheet: Sheet, name: string, volts: number): void {
  const middle = leg(sheet, {
    name,
    plus: 'VP',
    minus: 'VN',
    parallel: size.number('parallel'),
    device: 'mosfet',
    volts: volts * 2,
    sense: size.flag('sense'),
    snubber: size.flag('snubber'),
    driveSupply: DRIVE,
  });
  sheet.heading(`Filter of channel ${name}`);
  const out = `SPK_${name}`;
  sheet.part('L', 'inductor', [middle, out], { henries: '22u', ohms: '15m', guess: USUAL });
  sheet.part('C', 'film', [out, 'GND'], { farads: '680n', volts: 100, guess: USUAL });
  snubber(sheet, out, `DAMP_${name}`, 'GND', volts);
  const down = { ohms: '2k2', text: 'holds the output down', guess: OFTEN };
  sheet.part('R', 'resistor', [out, 'GND'], down);
  sheet.part('J', 'connector', { 1: out, 2: 'GND' }, { text: `loudspeaker ${name}` });
}
