import { expect, test } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import { Job } from '../cases/bench.ts';

const BOARD = `
board: Lamp switch
rails:
  P12: {plus: P12, minus: GND, volts: 12}
parts:
  C1: {kind: electrolytic, farads: 100u, pins: {plus: P12, minus: GND}}
  R1: {kind: resistor, ohms: 10k, pins: [P12, GATE]}
  Q1: {kind: n-mosfet, pins: {G: GATE, D: LAMP, S: GND}}
`;

test('a rail that nothing listed explains ends in words, not in the same reading for ever', () => {
  const job = new Job(loadBoard(BOARD, 'lamp.yaml').board);
  // A stray strand of wire: the rail sounds whatever is taken out, and every part is sound.
  const said: string[] = [];
  let advice = job.next(said);
  for (; advice.step.kind !== 'done' && said.length < 60; advice = job.next(said)) {
    said.push(...answers(job, advice.step));
  }
  expect(advice.step.kind).toBe('done');
  expect(advice.phase).not.toBe('clear');
  expect(advice.why).toMatch(/^Rail P12 does not read clear/);
  expect(advice.why).toContain('P12 and GND');
  expect(advice.open).toEqual(['rail P12 not read clear: P12 and GND']);
});

function answers(job: Job, step: ReturnType<Job['next']>['step']): string[] {
  const { board } = job;
  const names = (parts: readonly number[]): string => job.names(parts).join(' ');
  const pin = (k: number): string => {
    const { part, name } = board.pins[k]!;
    return `${board.parts[part]!.name}.${name}`;
  };
  const read = (probe: Extract<typeof step, { kind: 'read' }>['probe']): string => {
    const [a, b] = [probe.red, probe.black].map((point) =>
      probe.offPart === undefined ? board.nets[point.net]!.name : board.pins[point.pin!]!.name,
    );
    if (probe.offPart !== undefined) return `off ${names([probe.offPart])}: ${a} ${b} OL`;
    const shorted = [a, b].sort().join() === 'GND,P12';
    if (probe.mode === 'continuity') return `${a} ${b} ${shorted ? 'beep' : 'quiet'}`;
    return `${a} ${b} ${shorted ? '0.2 ohm' : 'OL'}`;
  };
  switch (step.kind) {
    case 'read':
      return [read(step.probe)];
    case 'lift':
      return [`lift ${step.pins.map(pin).join(' ')}`, read(step.then)];
    case 'remove':
      return [`remove ${names(step.parts)}`, ...(step.then === undefined ? [] : [read(step.then)])];
    case 'refit':
    case 'replace':
      return [`${step.kind} ${names(step.parts)}`];
    case 'look':
      return [
        `look ${names([step.part])}${step.pin === undefined ? '' : `.${board.pins[step.pin]!.name}`} looks sound`,
      ];
    case 'inspect':
      return [`look ${step.nets.map((net) => board.nets[net]!.name).join(' ')} looks sound`];
    case 'reflow':
      return [`reflow ${step.pins.map(pin).join(' ')}`];
    default:
      throw new Error(`no answer to ${step.kind}`);
  }
}
