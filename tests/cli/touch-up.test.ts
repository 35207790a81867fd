import { afterEach, beforeEach, expect, it } from 'vitest';
import { call } from './call.ts';
import { scratchFolder } from './scratch.ts';

let folder: ReturnType<typeof scratchFolder>;

beforeEach(() => {
  folder = scratchFolder();
  call(['start', 'lamp.yaml', '-o', 'job.yaml'], { cwd: folder.cwd });
});
afterEach(() => folder.remove());

it('a joint that the readings accused is reflowed as repair, any other as refurbishment', () => {
  const { cwd } = folder;
  // The link reads open from pad to pad though it was looked at, so a joint of it is.
  const says = [
    'P24 P24_LAMP OL',
    'P24 P24_LAMP quiet',
    'P24_LAMP P24 OL',
    'reflow W1',
    'reflow Q1.D',
  ];
  expect(call(['log', 'job.yaml', ...says], { cwd }).exit).not.toBe(2);
  const { stdout, exit } = call(['touch-up', 'job.yaml', '--json'], { cwd });
  const { repair, refurbishment } = JSON.parse(stdout) as {
    repair: { pin: string; because: string }[];
    refurbishment: { pin: string }[];
  };
  expect(exit).toBe(0);
  expect(repair.map(({ pin, because }) => [pin, because])).toEqual([
    ['W1.1', 'accused by readings'],
    ['W1.2', 'accused by readings'],
  ]);
  expect(refurbishment.map(({ pin }) => pin)).toEqual(['Q1.D']);
});
