import { describe, expect, it } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import { deriveJob } from '../../src/job/derive.ts';
import { type Analysis, advise, analyse, openWorkbench } from '../../src/steps/advise.ts';
import { explainPair, type PairExplanation } from '../../src/steps/explain-pair.ts';
import { explainPart } from '../../src/steps/explain-part.ts';
import { insteadOf } from '../../src/steps/instead.ts';
import { LAMP } from '../cli/scratch.ts';

//  P24 ──┬────┬──── W1 ──── P24_LAMP ──┬──── D2 ── LAMP_LOW ──┬──── GND
//        C1   D1                       C2                   Q1, Q2
const { board } = loadBoard(LAMP, 'lamp.yaml');
const workbench = openWorkbench(board);

function having(says: readonly string[]): Analysis {
  const events = says.map((say, index) => ({ n: index + 2, at: '', say, line: index + 2 }));
  return analyse(workbench, deriveJob(board, events).evidence);
}

const net = (name: string): number => board.netNamed.get(name)?.index ?? -1;
const part = (name: string): number => board.partNamed.get(name)?.index ?? -1;
const namesOf = (parts: readonly number[]): string =>
  parts.map((index) => board.parts[index]?.name).join('/');
const waysOf = ({ ways }: PairExplanation): string[] =>
  ways.map(({ links }) => links.map(({ parts }) => namesOf(parts)).join(' '));

describe('why a pair conducts', () => {
  it('tells every way part by part, over the jumper too', () => {
    const pair = explainPair(having(['P24 GND beep']), net('P24'), net('GND'));
    expect(pair.conducts).toBeGreaterThan(0.9);
    const ways = waysOf(pair);
    expect(ways).toContain('C1');
    expect(ways).toContain('W1 D2 Q1/Q2');
    for (const { links } of pair.ways) {
      expect(links[0]?.from).toBe(net('P24'));
      expect(links.at(-1)?.to).toBe(net('GND'));
      links.slice(1).forEach((link, k) => {
        expect(link.from).toBe(links[k]?.to);
      });
    }
  });

  it('names the jumper to lift once the parts before it are out', () => {
    const says = ['P24 GND beep', 'remove C1 D1', 'P24 GND beep'];
    const pair = explainPair(having(says), net('P24'), net('GND'));
    const lift = pair.breakers.find(({ parts }) => namesOf(parts) === 'W1');
    expect(lift?.pin).toBe(board.partNamed.get('W1')?.pins[1]);
    expect(lift?.share).toBeGreaterThan(0.5);
    expect(waysOf(pair).every((way) => !way.includes('C1') && !way.includes('D1'))).toBe(true);
  });

  it('finds no way once the jumper that carried it is lifted', () => {
    const says = ['P24 GND beep', 'remove C1 D1', 'lift W1', 'P24 GND quiet', 'P24 GND quiet'];
    const pair = explainPair(having(says), net('P24'), net('GND'));
    expect(pair.conducts).toBeLessThan(0.2);
  });

  it('tells what a healthy board shows there', () => {
    const pair = explainPair(having([]), net('GATE'), net('GND'));
    expect(pair.healthyOhms).toBeCloseTo(10_000, -1);
    expect(pair.ways).toEqual([]);
    const apart = explainPair(having([]), net('P24'), net('GND'));
    expect(apart.healthyOhms).toBeGreaterThan(1e5);
  });
});

describe('why a part is suspected', () => {
  it('names the readings that accuse it', () => {
    const found = explainPart(having(['P24 GND beep', 'GATE GND 9.9 kohm']), part('C1'));
    expect(found.weight).toBeGreaterThan(0.2);
    expect(found.accusedBy).toEqual([2]);
    expect(found.sets.length).toBeGreaterThan(0);
  });

  it('names the readings that clear it', () => {
    const found = explainPart(having(['P24 GND quiet']), part('C1'));
    // a quiet reading is a slip more often than a beep is: one in seventy
    expect(found.weight).toBeLessThan(0.03);
    expect(found.accusedBy).toEqual([]);
    expect(found.clearedBy).toEqual([2]);
  });

  it('says which parts it stands for', () => {
    const found = explainPart(having(['LAMP_LOW GND beep']), part('Q1'));
    expect(namesOf(found.alike)).toBe('Q1/Q2');
  });
});

describe("what a step of one's own choice would cost", () => {
  const suspected = having(['P24 GND beep']);

  it('is no less than the best step', () => {
    for (const name of ['C1', 'D1', 'W1', 'C2', 'Q1']) {
      const found = insteadOf(suspected, { part: part(name) });
      if (found !== undefined) expect(found.whole).toBeGreaterThanOrEqual(found.best - 1e-9);
    }
    const pair = insteadOf(suspected, { nets: [net('P24_LAMP'), net('GND')] });
    expect(pair?.whole).toBeGreaterThanOrEqual((pair?.best ?? 0) - 1e-9);
  });

  it('is what the best step costs for the part that is advised', () => {
    const { step } = advise(suspected);
    const own =
      step.kind === 'lift' ? step.part : step.kind === 'remove' ? (step.parts[0] as number) : -1;
    const found =
      step.kind === 'read'
        ? insteadOf(suspected, { nets: [step.probe.red.net, step.probe.black.net] })
        : insteadOf(suspected, { part: own });
    expect(found?.whole).toBeCloseTo(found?.best ?? Number.NaN, 6);
  });

  it('is not worked out while nothing is suspected', () => {
    expect(insteadOf(having(['P24 GND quiet']), { part: part('C1') })).toBeUndefined();
  });
});
