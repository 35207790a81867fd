import { expect, test } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import { deriveJob } from '../../src/job/derive.ts';
import { analyse, openWorkbench } from '../../src/steps/advise.ts';
import { Job } from '../cases/bench.ts';
import { events } from '../job/events.ts';

const BOARD = `
board: Gate driver with two grounds
parts:
  U1: {kind: ic, pins: {VCC: P12, GND: GND, GND_2: POWER_GND, IN: DRIVE}}
  U2: {kind: ic, pins: {VCC: P12, GND: GND, GND_2: POWER_GND, IN: DRIVE}}
`;

test('a part told apart from its like keeps every way to fail', () => {
  const job = new Job(loadBoard(BOARD, 'driver.yaml').board);
  const { beliefs } = job.after(['look U1 looks sound']);
  const { circuit, universe } = beliefs.problem;
  const u1 = job.part('U1');
  const pairsOf = (branches: readonly { a: number; b: number }[]): string =>
    branches.map(({ a, b }) => [a, b].sort((x, y) => x - y).join('-')).join();
  const faults = universe.faults.filter(
    ({ what, members }) => what === 'part' && members.some(({ part }) => part === u1),
  );
  const modes = circuit.models[u1]!.modes.map(({ name, joins }) => {
    const nets = (pin: number): number => job.board.pins[pin]!.net;
    return `${name} ${pairsOf(joins.map(({ a, b }) => ({ a: nets(a), b: nets(b) })))}`;
  });
  expect(faults.map(({ mode, branches }) => `${mode} ${pairsOf(branches)}`).sort()).toEqual(
    modes.sort(),
  );
  expect(modes.length).toBeGreaterThan(3);
  for (const { members } of faults) expect(members).toHaveLength(1);
});

test('two jobs on one workbench do not take over what the other saw or read on legs', () => {
  const { board } = loadBoard(BOARD, 'driver.yaml');
  const after = (workbench: ReturnType<typeof openWorkbench>, ...says: string[]): unknown =>
    analyse(workbench, deriveJob(board, events(...says)).evidence).diagnosis.suspects;
  const shared = openWorkbench(board);
  for (const says of [
    ['look U1 burnt'],
    ['look U2 burnt'],
    ['remove U1', 'off U1: VCC GND 0.4 ohm'],
    ['remove U1', 'off U1: VCC GND OL'],
  ]) {
    expect(after(shared, ...says)).toEqual(after(openWorkbench(board), ...says));
  }
});
