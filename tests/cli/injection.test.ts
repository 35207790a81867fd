import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { call } from './call.ts';
import { scratchFolder } from './scratch.ts';

let folder: ReturnType<typeof scratchFolder>;
beforeEach(() => {
  folder = scratchFolder();
});
afterEach(() => folder.remove());

const run = (...args: string[]) => call(args, { cwd: folder.cwd });
const document = (...args: string[]) => JSON.parse(run(...args, '--json').stdout);

describe('an injected current in the job', () => {
  beforeEach(() => {
    run('start', 'lamp.yaml', '-o', 'job.yaml');
    run('log', 'job.yaml', 'customer hums', 'arrived whole', 'skip look-over seen', 'P24 GND beep');
  });

  it('goes with what comes next, and what may be said under it, for scripts', () => {
    expect(document('next', 'job.yaml')).not.toHaveProperty('injection');
    const logged = document('log', 'job.yaml', 'inject GND P24 2 A');
    const current = { red: 'GND', black: 'P24', amps: 2 };
    expect(logged.injection).toMatchObject(current);
    expect(logged.injectionDoubts).toHaveLength(2);
    expect(logged.recorded).toMatchObject([{ say: 'inject GND P24 2 A' }]);
    const next = document('next', 'job.yaml');
    expect(next.injection).toMatchObject(current);
    expect(next.next).toMatchObject({
      stage: 'isolate',
      kind: 'injection',
      answers: [{ say: ['inject off'] }],
    });
    expect(document('log', 'job.yaml', 'inject off')).not.toHaveProperty('injection');
    expect(document('next', 'job.yaml').next.kind).not.toBe('injection');
  });

  it('is asked to be turned down when two points stand too far apart', () => {
    run('log', 'job.yaml', 'inject P24 GND 0.5 A');
    expect(run('log', 'job.yaml', 'P24 GND 300 mV').stderr).not.toMatch(/turn the supply/);
    expect(run('log', 'job.yaml', 'P24 GND -0.6 V').stderr).toMatch(
      /turn the supply's voltage down/,
    );
  });

  it('is not begun on a board that holds a dangerous charge', () => {
    run('log', 'job.yaml', 'residual P24 GND 70 V');
    const { exit, stderr } = run('log', 'job.yaml', 'inject P24 GND 0.5 A');
    expect(exit).toBe(2);
    expect(stderr).toMatch(/no injected current above 60 V/);
  });

  it('asks for the voltage left before it, where nobody measured it', () => {
    expect(document('log', 'job.yaml', 'inject P24 GND 0.5 A').unmeasured).toEqual([
      'residual P24 GND',
    ]);
  });

  it('leaves millivolts out of what proves a rail clear and of what is shorted', () => {
    run('log', 'job.yaml', 'inject P24 GND 0.5 A', 'P24 GND 0.01 mV', 'inject off');
    const { gates } = document('next', 'job.yaml');
    const rail = gates.find((gate: { name: string }) => gate.name.startsWith('rail supply'));
    expect(rail.needs.join()).toMatch(/last read "P24 GND beep"/);
    expect(document('recheck', 'job.yaml').pairs).toHaveLength(1);
  });
});
