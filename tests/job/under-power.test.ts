import { expect, it } from 'vitest';
import { deriveJob } from '../../src/job/derive.ts';
import { mayBeUnderPower } from '../../src/job/under-power.ts';
import { shippedBoard } from '../cases/bench.ts';
import { events } from './events.ts';

const board = shippedBoard('hoist-drive');
const isLive = (...says: string[]) => mayBeUnderPower(deriveJob(board, events(...says)));

it.each([
  [[], false],
  [['P48 GND quiet'], false],
  [['powered P48 GND 4.8 V'], true],
  [['draws bus 0.1 A', 'note fan on'], true],
  [['power 1 passed'], true],
  [['power 1 stopped smoke'], false],
  [['power 1 passed', 'residual P48 GND 0.2 V'], false],
  [['function passed brake holds'], true],
  [['function failed brake slips'], false],
  [['soak start 60 min', 'temp Q3 61 C'], true],
  [['soak start 60 min', 'soak finding fan rattles'], true],
  [['soak start 60 min', 'soak passed'], false],
  [['soak start 60 min', 'soak stopped smoke'], false],
  [['soak start 60 min', 'undo'], false],
] as const)('after %j the record leaves the board under power: %s', (says, isSo) => {
  expect(isLive(...says)).toBe(isSo);
});
