import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { call } from './call.ts';
import { scratchFolder } from './scratch.ts';

let folder: ReturnType<typeof scratchFolder>;
beforeEach(() => {
  folder = scratchFolder();
});
afterEach(() => folder.remove());

const check = (lines: readonly string[], ...more: readonly string[]) => {
  writeFileSync(join(folder.cwd, 'a.readings'), `${lines.join('\n')}\n`);
  return call(['check', 'lamp.yaml', 'a.readings', ...more], { cwd: folder.cwd });
};

describe('check', () => {
  it('exits 0 when nothing read is shorted, and says which rails were not read', () => {
    const { exit, stdout } = check(['P24 GND quiet']);
    expect(exit).toBe(0);
    expect(stdout).toMatch(/No short in 1 pair read/);
    expect(stdout).toMatch(/supply, P24 to GND: clear/);
    expect(stdout).toMatch(/lamp, P24_LAMP to GND: not read/);
  });

  it('exits 1 on a short and names what could be it, with its weight', () => {
    const { exit, stdout } = check(['P24 GND beep', 'P24_LAMP GND 0.4 ohm']);
    expect(exit).toBe(1);
    expect(stdout).toMatch(/supply, P24 to GND: shorted/);
    expect(stdout).toMatch(/\d+ % +C1 short/);
  });

  it('takes a low figure in ohms for a short as it does a beep', () => {
    expect(check(['LAMP_LOW GND 0.3 ohm']).exit).toBe(1);
    expect(check(['GATE GND 9.9 kohm']).exit).toBe(0);
  });

  it('does not call a pair shorted that conducts on a healthy board', () => {
    const { exit, stdout } = check(['P24 P24_LAMP beep']);
    expect(exit).toBe(0);
    expect(stdout).toMatch(/conducts as it should/);
  });

  it('exits 2 on bad input, with every fault of the file', () => {
    const { exit, stderr } = check(['P24 GDN beep', 'P24 GND quiet', 'Q7.D GND beep']);
    expect(exit).toBe(2);
    expect(stderr).toMatch(/a\.readings:1:5/);
    expect(stderr).toMatch(/a\.readings:3:1/);
  });

  it('exits 3 when repeated readings of a pair do not agree, and names what to read again', () => {
    const { exit, stdout } = check(['P24 GND beep', 'P24 GND quiet']);
    expect(exit).toBe(3);
    expect(stdout).toMatch(/read(ing)? (it )?again|Take again/i);
    expect(stdout).toMatch(/a\.readings:\d: P24 GND/);
  });

  it('goes by the many when one of several repeats is a slip', () => {
    const lines = ['P24 GND beep', 'P24 GND beep', 'P24 GND quiet', 'P24 GND beep', 'P24 GND beep'];
    expect(check(lines).exit).toBe(1);
  });

  it('judges a pair by what was read after the last change of the board', () => {
    const { exit } = check([
      'P24 GND beep',
      'replace C1 D1',
      'P24 GND quiet',
      'P24_LAMP GND quiet',
    ]);
    expect(exit).toBe(0);
  });

  it('joins several files and reads a job record like a readings file', () => {
    writeFileSync(join(folder.cwd, 'b.readings'), 'P24_LAMP GND quiet\n');
    expect(check(['P24 GND quiet'], 'b.readings').stdout).toMatch(/2 pairs read/);
    call(['start', 'lamp.yaml', '-o', 'job.yaml'], { cwd: folder.cwd });
    call(['log', 'job.yaml', 'P24 GND beep'], { cwd: folder.cwd });
    expect(call(['check', 'lamp.yaml', 'job.yaml'], { cwd: folder.cwd }).exit).toBe(1);
  });

  it('gives the same facts as JSON', () => {
    const { stdout, exit } = check(['P24 GND beep'], '--json');
    expect(exit).toBe(1);
    const found = JSON.parse(stdout);
    expect(found).toMatchObject({
      schema: 'trace-short/check/1',
      shorted: true,
      contradictory: false,
      rails: [{ name: 'supply', verdict: 'shorted' }, { verdict: 'not read' }],
    });
    expect(found.diagnosis.suspects[0]).toMatchObject({ part: expect.any(String) });
  });
});
