import { control, dcIn, leg } from './blocks.ts';
import { bulk, busVolts, DEVICE, parallel, SNUBBER, sense } from './questions.ts';
import type { Sheet } from './sheet.ts';
import type { Size, Skeleton } from './skeleton.ts';

const DRIVE = 'V12_DRV';

const QUESTIONS = [busVolts(48), parallel(2), DEVICE, bulk(4), sense(true), SNUBBER];

function bridge(size: Size, sheet: Sheet, legs: readonly string[], load: string): void {
  const volts = size.number('volts');
  sheet.rail('bus', 'BUS', 'GND', volts);
  sheet.rail('gate drive', DRIVE, 'GND', 12);
  sheet.heading('Supply in and bus');
  dcIn(sheet, { plus: 'BUS', minus: 'GND', from: 'BUS_IN', volts, bulk: size.number('bulk') });
  const middles = legs.map((name) =>
    leg(sheet, {
      name,
      plus: 'BUS',
      minus: 'GND',
      parallel: size.number('parallel'),
      device: size.word('device'),
      volts,
      sense: size.flag('sense'),
      snubber: size.flag('snubber'),
      driveSupply: DRIVE,
    }),
  );
  sheet.heading('Output');
  const ends = middles.length === 1 ? [...middles, 'GND'] : middles;
  const pins = Object.fromEntries(ends.map((net, i) => [String(i + 1), net]));
  sheet.part('J', 'connector', pins, { text: load });
  const inputs = legs.flatMap((name) => [`HIN_${name}`, `LIN_${name}`]);
  const feet = size.flag('sense') ? legs.map((name) => `SENSE_${name}`) : [];
  control(sheet, { supply: DRIVE, minus: 'GND', nets: [...inputs, ...feet] });
}

export const HALF_BRIDGE: Skeleton = {
  name: 'half-bridge',
  title: 'Half bridge',
  summary: 'one leg of upper and lower transistors with its gate driver',
  questions: QUESTIONS,
  draw: (size, sheet) => bridge(size, sheet, ['A'], 'load'),
};

export const FULL_BRIDGE: Skeleton = {
  name: 'full-bridge',
  title: 'Full bridge',
  summary: 'two legs, the load between them',
  questions: QUESTIONS,
  draw: (size, sheet) => bridge(size, sheet, ['A', 'B'], 'load'),
};

export const THREE_PHASE_BRIDGE: Skeleton = {
  name: 'three-phase-bridge',
  title: 'Three-phase bridge',
  summary: 'three legs, as in motor drives and inverters',
  questions: QUESTIONS,
  draw: (size, sheet) => bridge(size, sheet, ['U', 'V', 'W'], 'motor'),
};
