import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { COMMANDS } from '../../src/cli/commands.ts';
import { call } from './call.ts';

/** Moves cursors, colours, rings, retitles the window, turns the writing direction, breaks lines. */
const EVIL = '\u001b[31m\u0007\u001b]0;title\u0007\r\u202e\u009b2J';
/** The same as YAML writes it. */
const WRITTEN = '\\e[31m\\a\\e]0;title\\a\\r\\u202e\\u009b2J';

/** All that must never reach a terminal raw; a line break is the only control character there is. */
const RAW =
  // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is looked for.
  /[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u2028\u2029\u200e\u200f\u202a-\u202e\u2066-\u2069\ufeff]/u;

/** What names may hold at their worst, and free text that may hold anything. */
const BOARD = `board: "Lamp <script>alert(1)</script> & co"
rails:
  "supply <b>": {plus: "P<script>24", minus: GND, volts: 24}
parts:
  J1: {kind: connector, pins: {1: "P<script>24", 2: GND}, at: [1, 1]}
  "Q<img/src=x>1": {kind: n-mosfet, pins: {G: "G&'\\"1", D: LOW, S: GND}, package: "TO-247${WRITTEN}", heatsink: true, bank: "low <i>", part-number: "PN${WRITTEN}", mark: "dot${WRITTEN}", at: [20, 2]}
  C1: {kind: electrolytic, farads: 470u, volts: 35, pins: {plus: "P<script>24", minus: GND}, text: "470${WRITTEN}", at: [10, 2]}
  D1: {kind: schottky, pins: {A: LOW, K: "P<script>24"}, at: [30, 2]}
  R1: {kind: resistor, ohms: 10k, pins: ["G&'\\"1", GND], at: [5, 5]}
`;
const Q = 'Q<img/src=x>1';
const P = 'P<script>24';

let cwd: string;
/** A board and its job, both called by names that are hostile too. */
const board = `board ${EVIL}<b>.yaml`;
const job = `job ${EVIL}<b>.yaml`;

beforeAll(() => {
  cwd = mkdtempSync(join(tmpdir(), 'hostile-'));
  writeFileSync(join(cwd, board), BOARD);
  writeFileSync(join(cwd, 'readings'), `${P} GND beep\n`);
  writeFileSync(join(cwd, 'after'), `${P} GND quiet\n`);
  writeFileSync(join(cwd, 'net.ipc'), `P  JOB ${EVIL}\n317${EVIL}  X\n`);
  writeFileSync(join(cwd, 'prices.csv'), `part-number,price\n"PN${EVIL}",2\n`);
  writeFileSync(
    join(cwd, 'parts.csv'),
    `part,pin,value\nJ1,1,"${EVIL}"\nJ1,2,x\nC1,1,"1u${EVIL}"\nC1,2,1u\n`,
  );
  writeFileSync(join(cwd, 'meter.yaml'), `m${WRITTEN}: {}\n`);
  expect(call(['start', board, '-o', job], { cwd }).exit).toBe(0);
  const lines = [
    `customer trips ${EVIL}<script>alert(2)</script>`,
    `arrived without ${EVIL}`,
    `marking ${EVIL}`,
    `technician ${EVIL}`,
    `photo "${EVIL}.jpg" ${Q} ${EVIL}`,
    `skip look-over ${EVIL}`,
    `residual ${P} GND 0 V`,
    `note ${EVIL}<script>`,
    `pass ${P} GND because ${EVIL}`,
    `unreachable ${Q}.G ${EVIL}`,
    `${P} GND beep`,
    `replace C1`,
    `${P} GND quiet`,
  ];
  for (const line of lines) {
    const { exit, stderr } = call(['log', job, line], { cwd });
    expect([0, 1, 3], stderr).toContain(exit);
  }
});
afterAll(() => rmSync(cwd, { recursive: true, force: true }));

/** Calls of every command; those that need a terminal or a conversation are tried elsewhere. */
const CALLS: Readonly<Record<string, readonly (readonly string[])[]>> = {
  guide: [['guide', job]],
  start: [
    ['start', `none${EVIL}.yaml`],
    ['start', board, '-o', job],
  ],
  next: [
    ['next', job],
    ['next', `none${EVIL}`],
  ],
  log: [
    ['log', job, `note again ${EVIL}`],
    ['log', job, EVIL],
    ['log', job, `look ${EVIL} burnt`],
  ],
  why: [
    ['why', job],
    ['why', job, Q],
    ['why', job, P, 'GND'],
    ['why', job, EVIL],
  ],
  picture: [
    ['picture', job, 'supply <b>'],
    ['picture', job, EVIL],
  ],
  where: [
    ['where', board, Q],
    ['where', job, P, 'GND'],
    ['where', board, EVIL],
  ],
  repair: [
    ['repair', job],
    ['repair', job, '--csv'],
  ],
  'touch-up': [['touch-up', job]],
  power: [['power', job]],
  soak: [
    ['soak', job],
    ['soak', job, EVIL],
  ],
  check: [
    ['check', board, 'readings'],
    ['check', board, `none${EVIL}`],
  ],
  diff: [
    ['diff', 'readings', 'after', '--board', board],
    ['diff', job, 'after'],
  ],
  recheck: [['recheck', job]],
  sheet: [
    ['sheet', job],
    ['sheet', job, '--form', 'markdown'],
  ],
  drill: [['drill', board, '--auto']],
  meter: [
    ['meter', EVIL],
    ['meter', 'meter.yaml'],
  ],
  jobs: [
    ['jobs', '.'],
    ['jobs', EVIL],
  ],
  worth: [['worth', job]],
  shop: [
    ['shop', '--shop', `none${EVIL}`],
    ['shop', job],
  ],
  memory: [['memory'], ['memory', EVIL], ['memory', '--forget', job]],
  map: [
    ['map', 'parts.csv', '-o', `map ${EVIL}.yaml`],
    ['map', `none${EVIL}`],
  ],
  reference: [
    ['reference', board, '-o', `good ${EVIL}.readings`, `${P} GND 4 kohm`],
    ['reference', board, EVIL],
    ['reference', `none${EVIL}`],
  ],
  serve: [],
  help: [['help', EVIL]],
  completion: [],
  board: [
    ['board', board],
    ['board', board, '--inject', 'supply <b>'],
    ['board', board, '--inject', EVIL],
  ],
  new: [['new', EVIL]],
  import: [
    ['import', 'net.ipc'],
    ['import', `none${EVIL}`],
  ],
};

/** The first call of each command that prints a document. */
const JSON_CALLS = Object.entries(CALLS).flatMap(([name, [args]]) =>
  args === undefined || name === 'guide' ? [] : [[name, args] as const],
);

describe('names, texts and file names that would harm a terminal', () => {
  it('are tried on every command', () => {
    expect(Object.keys(CALLS).sort()).toEqual(COMMANDS.map(({ name }) => name).sort());
  });

  it.each(Object.entries(CALLS))('are shown harmlessly by %s', { timeout: 120_000 }, (_, calls) => {
    for (const args of calls) {
      const { stdout, stderr, exit } = call(args, { cwd, env: { NO_COLOR: '1' } });
      expect(exit, stderr).not.toBe(70);
      // A table for other programs ends its lines with both.
      expect(stdout.replaceAll('\r\n', '\n'), JSON.stringify(args)).not.toMatch(RAW);
      expect(stderr, JSON.stringify(args)).not.toMatch(RAW);
    }
  });

  it.each(JSON_CALLS)('are escaped in the JSON of %s', { timeout: 120_000 }, (_, args) => {
    const { stdout } = call([...args, '--json'], { cwd });
    expect(stdout).not.toMatch(RAW);
    expect(() => JSON.parse(stdout)).not.toThrow();
  });

  it.each([
    ['sheet', 'sheet.html', ['sheet', job, '-o', 'sheet.html']],
    ['picture', 'rail.svg', ['picture', job, 'supply <b>', '--svg', 'rail.svg']],
    ['where', 'where.svg', ['where', job, P, 'GND', '--svg', 'where.svg']],
  ])('are no markup and no control characters in what %s draws', (_, file, args) => {
    const { exit, stderr } = call(args, { cwd });
    expect(exit, stderr).toBeLessThan(2);
    expect(existsSync(join(cwd, file))).toBe(true);
    const text = readFileSync(join(cwd, file), 'utf8');
    expect(text).not.toMatch(RAW);
    expect(text).not.toMatch(/<script|<img[/ ]src=x/i);
  });
});
