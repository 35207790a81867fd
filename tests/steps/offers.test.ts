import { describe, expect, it } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import { printTarget } from '../../src/job/print-say.ts';
import type { Step } from '../../src/steps/step.ts';
import { Job, shippedBoard } from '../cases/bench.ts';

const LINKED = `board: two areas of one supply
rails: {r: {plus: A, minus: B, volts: 12}}
parts:
  C1: {kind: ceramic, farads: 1u, pins: [A, B]}
  C2: {kind: ceramic, farads: 1u, pins: [A2, B]}
  C3: {kind: ceramic, farads: 1u, pins: [A2, B]}
  D1: {kind: suppressor, pins: {A: B, K: A}}
jumpers: {W1: [A, A2]}
`;

function points(job: Job, step: Step): string {
  return step.kind === 'done' ? 'done' : printTarget(job.board, step);
}

describe('a step that was passed over', () => {
  const hoist = new Job(shippedBoard('hoist-drive'));

  it('is not proposed while there is another', () => {
    const said: string[] = [];
    const seen = new Set<string>();
    for (let count = 0; count < 12; count++) {
      const { step } = hoist.next(said);
      const name = points(hoist, step);
      expect(seen.has(name)).toBe(false);
      seen.add(name);
      said.push(`pass ${name} because not now`);
    }
  });

  it('is among no others on offer either', () => {
    const said = ['P48 GND beep', 'V12_DRV GND quiet', 'V5 GND_LOG quiet'];
    const before = hoist.next(said);
    const [other] = before.others;
    if (other === undefined) throw new Error('one step is all there is');
    const after = hoist.next([...said, `pass ${points(hoist, other.step)} because not now`]);
    const names = [after.step, ...after.others.map(({ step }) => step)];
    expect(names.map((step) => points(hoist, step))).not.toContain(points(hoist, other.step));
    expect(points(hoist, after.step)).toBe(points(hoist, before.step));
  });

  it('comes up again, with its reason, when nothing else is left', () => {
    const job = new Job(loadBoard(LINKED, 'linked.yaml').board);
    const said: string[] = [];
    const passed = new Set<string>();
    for (;;) {
      const { step, why } = job.next(said);
      const name = points(job, step);
      if (passed.has(name)) {
        expect(why).toContain('It was passed over (too hot), and nothing else is left.');
        break;
      }
      expect(step.kind).not.toBe('done');
      passed.add(name);
      said.push(`pass ${name} because too hot`);
    }
    expect(passed).toContain('A B');
  });
});

describe('what probes cannot reach', () => {
  const job = new Job(loadBoard(LINKED, 'linked.yaml').board);

  it('is read at the same copper behind a link instead', () => {
    expect(points(job, job.next([]).step)).toBe('A B');
    expect(points(job, job.next(['unreachable A']).step)).toBe('A2 B');
    const next = job.next(['unreachable A', 'A2 B quiet']);
    expect(points(job, next.step)).not.toMatch(/^A B|^B A/);
  });

  it('goes on being read at its other pads', () => {
    expect(points(job, job.next(['unreachable C1', 'unreachable C3']).step)).toBe('A B');
  });

  it('is asked for by no step, in a whole job of quiet readings', () => {
    const said = ['unreachable A'];
    for (let count = 0; count < 20; count++) {
      const { step, open } = job.next(said);
      if (step.kind === 'done') {
        expect(open.join()).toContain('no probe reaches it');
        return;
      }
      const name = points(job, step);
      expect(name.split(' ')).not.toContain('A');
      said.push(step.kind === 'read' ? `${name} quiet` : name);
    }
    throw new Error('no end');
  });

  it('is proposed again once it is taken back', () => {
    expect(points(job, job.next(['unreachable A', 'reachable A']).step)).toBe('A B');
  });
});
