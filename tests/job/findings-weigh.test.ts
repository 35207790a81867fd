import { describe, expect, it } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import { deriveJob } from '../../src/job/derive.ts';
import { ledgerText } from '../../src/job/ledger.ts';
import { analyse, openWorkbench } from '../../src/steps/advise.ts';
import { events } from './events.ts';

//  P24 ─┬ C1 ┬ GND, P24 ─┬ C2 ┬ GND: either may be shorted; R1 and R2 in series carry a beep.
const { board } = loadBoard(
  `
board: Two capacitors side by side
rails:
  supply: {plus: P24, minus: GND, volts: 24}
parts:
  C1: {kind: electrolytic, farads: 10u, volts: 35, pins: {plus: P24, minus: GND}}
  C2: {kind: electrolytic, farads: 10u, volts: 35, pins: {plus: P24, minus: GND}}
  R1: {kind: resistor, ohms: 1, pins: [A, B]}
  R2: {kind: resistor, ohms: 1, pins: [B, GND]}
`,
  'two.yaml',
);
const workbench = openWorkbench(board);

/** Weights of the two among what explains a beep across both, with what was seen. */
function weights(...says: string[]): { C1: number; C2: number } {
  const job = deriveJob(board, events(...says, 'P24 GND beep'));
  const { suspects } = analyse(workbench, job.evidence).diagnosis;
  const of = (name: string): number => {
    const index = board.partNamed.get(name)?.index;
    return suspects.find(({ part }) => part === index)?.weight ?? 0;
  };
  return { C1: of('C1'), C2: of('C2') };
}

/** Weight of a joint being open that would explain a silence where a beep was due. */
function weightOfJoint(...says: string[]): number {
  const job = deriveJob(board, events(...says, 'A GND quiet', 'A GND quiet'));
  const { suspects } = analyse(workbench, job.evidence).diagnosis;
  const part = board.partNamed.get('R1')?.index;
  return suspects.find((suspect) => suspect.part === part)?.weight ?? 0;
}

describe('what an eye finds weighs with the readings', () => {
  it.each(['burnt', 'cracked', 'leaking', 'reworked', 'dirty', 'wrong part'])(
    'a part found %s is suspected more than the one beside it',
    (finding) => {
      const { C1, C2 } = weights(`look C1 ${finding}`);
      expect(C1).toBeGreaterThan(C2 + 0.02);
    },
  );

  it('a part that looks sound is suspected less than the one beside it', () => {
    const { C1, C2 } = weights('look C1 looks sound');
    expect(C1).toBeLessThan(C2 - 0.02);
  });

  it('a part that is missing explains no beep, is not back on the board, and is no change of it', () => {
    expect(weights('look C1 missing').C1).toBeLessThan(0.01);
    const job = deriveJob(board, events('P24 GND quiet', 'look C1 missing'));
    expect(job.ledger.map((entry) => ledgerText(board, entry))).toEqual([
      'C1 off the board since event 3',
    ]);
    expect(job.evidence.lastChange).toBe(0);
    expect(deriveJob(board, events('look C1 missing', 'replace C1')).ledger).toEqual([]);
  });

  it.each(['burnt', 'cracked', 'reworked', 'dirty', 'off its pad'])(
    'a joint found %s is suspected more of being open',
    (finding) => {
      expect(weightOfJoint(`look R1.1 ${finding}`)).toBeGreaterThan(weightOfJoint() + 0.005);
    },
  );

  it('a joint that looks sound is suspected less', () => {
    expect(weightOfJoint('look R1.1 looks sound')).toBeLessThan(weightOfJoint() - 0.005);
  });
});
