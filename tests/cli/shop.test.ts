import { copyFileSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import { readPriceList } from '../../src/job/shop/price-list.ts';
import { priceBook } from '../../src/job/shop/prices.ts';
import { checksFor, DEFAULT_SHOP } from '../../src/job/shop/shop.ts';
import { loadShop } from '../../src/job/shop/shop-file.ts';
import { call } from './call.ts';
import { scratchFolder } from './scratch.ts';

let scratch: ReturnType<typeof scratchFolder>;
beforeEach(() => {
  scratch = scratchFolder();
});
afterEach(() => scratch.remove());

const settings = (text: string): void => {
  writeFileSync(join(scratch.cwd, 'trace-short.yaml'), text);
};
/** As on a bench: the settings file of the folder counts. */
const run = (...args: string[]) =>
  call(args, { cwd: scratch.cwd, env: { NO_COLOR: '1', TRACE_SHORT_SHOP: '' } });
const next = (job: string): { minutes: number; minutesLeft: number } =>
  JSON.parse(run('next', job, '--json').stdout).advice;

it("a job keeps the shop's doubts it was opened with; bench times are those of today", () => {
  settings('doubts: {slip: 1%, unread-faults: 0.01}\n');
  run('start', 'lamp.yaml', '-o', 'job.yaml');
  const job = readFileSync(join(scratch.cwd, 'job.yaml'), 'utf8');
  expect(job).toContain('doubts: {slip: "1%", unread-faults: 0.01}');
  const before = next('job.yaml');
  settings('doubts: {slip: 5%, unread-faults: 0.5}\n');
  expect(next('job.yaml')).toEqual(before);
  settings('bench-times: {reading: {continuity: 1.3}}\n');
  expect(next('job.yaml').minutes).toBeCloseTo(before.minutes + 1, 9);
});

it('a job opened without settings keeps none, and reads the same where a shop has some', () => {
  run('start', 'lamp.yaml', '-o', 'job.yaml');
  run('log', 'job.yaml', 'P24 GND beep');
  expect(readFileSync(join(scratch.cwd, 'job.yaml'), 'utf8')).not.toContain('doubts');
  const before = run('why', 'job.yaml', '--json').stdout;
  settings('doubts: {slip: 10%, expected-faults: 3, heatsink-factor: 9}\n');
  expect(run('why', 'job.yaml', '--json').stdout).toBe(before);
});

it('the settings in force for a job are the doubts it was opened with, the rest of today', () => {
  settings('doubts: {slip: 1%}\nhourly-rate: 30\n');
  run('start', 'lamp.yaml', '-o', 'job.yaml');
  settings('doubts: {slip: 5%}\nhourly-rate: 40\n');
  const { stdout } = run('shop', 'job.yaml', '--json');
  const found = JSON.parse(stdout) as { settings: { setting: string; value?: string }[] };
  const value = (name: string): string | undefined =>
    found.settings.find(({ setting }) => setting === name)?.value;
  expect(value('doubts.slip')).toBe('1%');
  expect(value('hourly-rate')).toBe('40');
  expect(run('shop', 'job.yaml').stdout).toContain('job.yaml was opened with');
});

it('the file written to start from changes nothing that is said', () => {
  run('start', 'lamp.yaml', '-o', 'job.yaml');
  run('log', 'job.yaml', 'P24 GND beep', 'P24_LAMP GND 0.4 ohm');
  const before = [run('next', 'job.yaml', '--json'), run('why', 'job.yaml', '--json')];
  run('shop', '--write', 'trace-short.yaml');
  expect([run('next', 'job.yaml', '--json'), run('why', 'job.yaml', '--json')]).toEqual(before);
});

it("a job with doubts this version does not know is a newer version's", () => {
  settings('doubts: {slip: 1%}\n');
  run('start', 'lamp.yaml', '-o', 'job.yaml');
  const path = join(scratch.cwd, 'job.yaml');
  writeFileSync(path, readFileSync(path, 'utf8').replace('slip:', 'slops:'));
  const { exit, stderr } = run('next', 'job.yaml');
  expect(exit).toBe(2);
  expect(stderr).toContain('written by a newer trace-short');
});

it("new jobs take the shop's meter, from a file beside the settings too", () => {
  settings('meter: mine.yaml\n');
  expect(run('meter', 'common handheld').exit).toBe(0);
  const meter = `my own:
  beeper: {ohms: 47, spread: 5%}
  leads: 0.1
  contact: 50m
  gain: 1%
  modes:
    continuity: {ranges: [{ohms: 400, amps: 1m}], volts: 3}
    ohms: {ranges: [{ohms: 400, amps: 1m}, {ohms: 4k, amps: 100u}], volts: 1
}
`.replace('1\n}', '1}');
  writeFileSync(join(scratch.cwd, 'mine.yaml'), meter);
  const { stdout } = run('start', 'lamp.yaml', '-o', 'job.yaml');
  expect(stdout).toContain('Job opened: job.yaml (repair, my own)');
  const named = run('start', 'lamp.yaml', '-o', 'other.yaml', '--meter', 'common handheld');
  expect(named.stdout).toContain('(repair, common handheld)');
});

it('the settings of the folder a job lies in hold, wherever the command runs', () => {
  settings('bench-times: {reading: {continuity: 2.3}}\n');
  run('start', 'lamp.yaml', '-o', 'job.yaml');
  const elsewhere = scratchFolder();
  try {
    const env = { TRACE_SHORT_SHOP: '' };
    const args = ['next', join(scratch.cwd, 'job.yaml'), '--json'];
    const { stdout } = call(args, { cwd: elsewhere.cwd, env });
    expect(JSON.parse(stdout).advice.minutes).toBe(2.3);
  } finally {
    elsewhere.remove();
  }
});

it('a flag before the command counts as well as one after it', () => {
  copyFileSync('tests/job/shop/full-shop.yaml', join(scratch.cwd, 'full.yaml'));
  writeFileSync(join(scratch.cwd, 'prices.csv'), 'mpn,price\nA,1\n');
  const { stdout, stderr } = run('--shop', 'full.yaml', 'shop', '--json');
  expect(stderr).toBe('');
  expect(JSON.parse(stdout)).toMatchObject({ by: 'flag', file: 'full.yaml' });
  expect(run('shop', '--json', '--shop', 'full.yaml').stdout).toBe(stdout);
});

it('the file written to start from holds the defaults', () => {
  expect(run('shop', '--write', 'trace-short.yaml').exit).toBe(0);
  const text = readFileSync(join(scratch.cwd, 'trace-short.yaml'), 'utf8');
  expect(loadShop(text, 'x').shop).toEqual(DEFAULT_SHOP);
});

it('cheap parts go on suspicion by the prices of a list beside the settings', () => {
  settings(`policies: {replace-on-suspicion: {kinds: [ceramic], up-to: 0.20, from: 5%}}
prices: {list: prices.csv, usual: {ceramic: 0.5}}
`);
  writeFileSync(join(scratch.cwd, 'prices.csv'), 'part number;price\nCC-1U;0,05\n');
  const board = readFileSync(join(scratch.cwd, 'lamp.yaml'), 'utf8');
  const priced = board.replace('volts: 50,', 'volts: 50, part-number: CC-1U,');
  writeFileSync(join(scratch.cwd, 'priced.yaml'), priced);
  for (const [name, reason] of [
    ['priced', 'cheap'],
    ['lamp', undefined],
  ] as const) {
    run('start', `${name}.yaml`, '-o', `${name}-job.yaml`);
    run('log', `${name}-job.yaml`, 'P24 GND quiet', 'lift W1', 'P24_LAMP GND beep');
    const { why } = JSON.parse(run('next', `${name}-job.yaml`, '--json').stdout).advice;
    if (reason === undefined) expect(why).not.toContain('cheap');
    else expect(why).toContain(reason);
  }
});

it('the example settings and prices fit the example board', () => {
  const { shop, warnings } = loadShop(readFileSync('examples/shop.yaml', 'utf8'), 'shop.yaml');
  const list = readPriceList(readFileSync('examples/prices.csv', 'utf8'), 'prices.csv');
  expect([...warnings, ...list.warnings]).toEqual([]);
  const file = 'boards/hoist-drive.yaml';
  const { board } = loadBoard(readFileSync(file, 'utf8'), file);
  expect(shop.boards.get(board.name)?.value).toBeGreaterThan(0);
  expect(checksFor(shop, board.name)).toHaveLength(2);
  const { priceOf } = priceBook(shop.prices, list);
  const price = (name: string): unknown => {
    const part = board.partNamed.get(name);
    return part && priceOf(part);
  };
  expect(price('Q1')).toEqual({ price: 3.2, by: 'list' });
  expect(price('R1')).toEqual({ price: 0.1, by: 'usual' });
});

it('a price list that is gone stands in the way of no reading', () => {
  settings(`policies: {replace-on-suspicion: {up-to: 1}}
prices: {list: gone.csv}
boards: {Workbench lamp driver: {value: 50}}
`);
  run('start', 'lamp.yaml', '-o', 'job.yaml');
  const { exit, stdout, stderr } = run('log', 'job.yaml', 'P24 GND quiet');
  expect(exit).toBe(0);
  expect(stdout).toContain('P24 GND quiet');
  expect(stderr.split('gone.csv')).toHaveLength(2);
  expect(run('worth', 'job.yaml').exit).toBe(2);
});

it('settings that cannot be used say how to go on without them', () => {
  run('start', 'lamp.yaml', '-o', 'job.yaml');
  settings('hourly-rat: 3\n');
  const { exit, stderr } = run('log', 'job.yaml', 'P24 GND quiet');
  expect(exit).toBe(2);
  expect(stderr).toContain('did you mean "hourly-rate"?');
  expect(stderr).toContain('--shop none');
  expect(run('log', 'job.yaml', 'P24 GND quiet', '--shop', 'none').exit).toBe(0);
});
