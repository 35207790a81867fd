import { describe, expect, it } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import { deriveJob } from '../../src/job/derive.ts';
import { type LookItem, lookOver } from '../../src/job/look-over.ts';
import { events } from './events.ts';

const { board } = loadBoard(
  `
board: A bit of everything
parts:
  C1: {kind: electrolytic, farads: 470u, pins: {plus: P, minus: N}}
  C2: {kind: electrolytic, farads: 470u, pins: {plus: P, minus: N}, bank: bulk}
  C3: {kind: electrolytic, farads: 470u, pins: {plus: P, minus: N}, bank: bulk}
  C4: {kind: ceramic, farads: 100n, pins: [P, N]}
  Q1: {kind: n-mosfet, pins: {G: G, D: P, S: N}, heatsink: true}
  R1: {kind: resistor, ohms: 10, pins: [G, N]}
  R2: {kind: resistor, ohms: 10, pins: [G, P], fails-first: true}
  J1: {kind: connector, pins: {1: P, 2: N}}
  TP1: {kind: test-point, pins: {1: P}}
jumpers:
  W1: [P, P2]
`,
  'bit.yaml',
);

function list(chance: (part: number) => number, ...says: string[]): LookItem[] {
  return lookOver(board, deriveJob(board, events(...says)), chance);
}
const names = (items: readonly LookItem[]): string[] =>
  items.map(({ parts }) => parts.map((part) => board.parts[part]?.name).join(' '));
const even = (): number => 0.01;

describe('what to look at first', () => {
  it('is what fails most, of parts alike what wears or takes strain; links and test points never', () => {
    const found = names(list(even));
    expect(found[0]).toBe('C2 C3');
    expect(found.indexOf('Q1')).toBeLessThan(found.indexOf('R1'));
    expect(found.indexOf('R2')).toBeLessThan(found.indexOf('R1'));
    expect(found).not.toContain('W1');
    expect(found).not.toContain('TP1');
    const risky = names(list((part) => (board.parts[part]?.name === 'R1' ? 0.5 : 0.01)));
    expect(risky[0]).toBe('R1');
  });

  it('is what was named at intake, before all else, by name or by kind', () => {
    const [first, ...rest] = list(even, 'customer smoke came from r1', 'arrived connectors loose');
    expect(names(first === undefined ? [] : [first])).toEqual(['R1']);
    expect(first?.reasons).toEqual(['named at intake']);
    expect(names(rest)[0]).toBe('J1');
    expect(rest[0]?.reasons).toContain('like what was named at intake');
    expect(names(list(even, 'photo a.jpg C4 see there'))[0]).toBe('C4');
  });

  it('lists a bank as one, and leaves out of it what was looked at or is new', () => {
    const open = (...says: string[]): string[] => {
      const bank = list(even, ...says).find(({ parts }) => parts.length === 2);
      return (bank?.open ?? []).map((part) => board.parts[part]?.name ?? '');
    };
    expect(open()).toEqual(['C2', 'C3']);
    expect(open('look C2 looks sound')).toEqual(['C3']);
    expect(open('look C3.plus cracked', 'replace C2')).toEqual([]);
  });
});
