import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readCsv } from '../../../src/board/import/csv.ts';
import { loadBoard } from '../../../src/board/load.ts';
import { columnsOf } from '../../../src/board/shown-text.ts';
import { repairCsv } from '../../../src/report/repair/csv.ts';
import { repairLines } from '../../../src/report/repair/lines.ts';
import type { OrderView, RepairView } from '../../../src/report/repair/model.ts';
import { viewRepair } from '../../../src/report/repair/view.ts';
import { NO_COLOUR, type Palette } from '../../../src/report/style.ts';
import { LAMP } from '../../cli/scratch.ts';
import { Repaired, SHIPPED, shipped } from '../../job/repair/repaired.ts';

const hoist = shipped('hoist-drive');
const flyback = shipped('bench-flyback');
const lamp = loadBoard(LAMP, 'lamp.yaml').board;

function viewOf(...args: ConstructorParameters<typeof Repaired>): RepairView {
  const { board, list } = new Repaired(...args);
  return viewRepair(board, list);
}

function textOf(view: RepairView, width = 80): string {
  return repairLines(view, { width, palette: NO_COLOUR }).join('\n');
}

/** A text without its line breaks, to look for sentences in. */
function flowing(view: RepairView): string {
  return textOf(view).replace(/\s+/g, ' ');
}

function named(orders: readonly OrderView[], part: string): OrderView | undefined {
  return orders.find(({ parts }) => parts.some((each) => each.part === part));
}

/** A board in the middle of a repair: parts in every state the list knows. */
const MIDWAY: ConstructorParameters<typeof Repaired> = [
  hoist,
  [
    'P48 GND beep',
    'PH_U GND beep',
    'remove Q5',
    'PH_U GND quiet',
    'off Q5: D S 0.4 ohm',
    'off Q5: G S 0.7 ohm',
    'off Q5: G D 0.6 ohm',
    'look C29 cracked',
    'look C21 leaking',
    'look D9 burnt',
    'look Q3.D off its pad',
    'remove C9',
    'replace Q5',
    'tick Q4 ordered',
    'tick R26 tested',
    'tick C29 oriented',
    'isolation Q6 2 Mohm',
  ],
];

describe('parts to get', () => {
  it('are counted by what they are ordered as, with what is done of it', () => {
    const bank = named(viewOf(...MIDWAY).get, 'Q4');
    expect(bank).toMatchObject({
      partNumber: 'IRFP4110',
      package: 'TO-247',
      quantity: 3,
      fitted: 1,
      ordered: 1,
      toGet: 1,
    });
    expect(bank?.parts.map(({ part, state }) => [part, state])).toEqual([
      ['Q4', 'ordered'],
      ['Q5', 'fitted'],
      ['Q6', 'to get'],
    ]);
  });

  it('add up to the parts listed, whatever was done', () => {
    for (const name of SHIPPED) {
      const view = viewOf(shipped(name), ['look C1 leaking', 'replace R1'], 'refurbish');
      for (const order of [...view.get, ...view.inCase]) {
        expect(order.parts).toHaveLength(order.quantity);
        expect(order.toGet + order.fitted + order.ordered + order.stay).toBe(order.quantity);
      }
      const sum = view.get.reduce((total, { quantity }) => total + quantity, 0);
      expect(sum).toBe(view.counts.renew);
    }
  });

  it('leave a suspect that tested good where it is', () => {
    const sense = named(viewOf(...MIDWAY).inCase, 'R26');
    expect(sense).toMatchObject({ quantity: 1, stay: 1, toGet: 0 });
  });

  it('say how many of many suspects will be needed', () => {
    const view = viewOf(hoist, ['P48 GND beep', 'P48_CHOP GND_CHOP beep']);
    const bank = named(view.inCase, 'C1');
    expect(bank?.toGet).toBe(6);
    // Renewed as a set: all six, if one of them is at fault.
    expect(bank?.likely).toBeGreaterThan(3);
    const fets = named(view.inCase, 'Q1');
    expect(fets?.toGet).toBe(18);
    expect(fets?.likely).toBeLessThan(9);
    expect(textOf(view)).toMatch(/About \d likely to be needed/);
    for (const order of viewOf(...MIDWAY).get) expect(order.likely).toBe(order.toGet);
  });

  it('count the insulators of tabs still to be fastened', () => {
    expect(viewOf(...MIDWAY).insulators).toEqual([{ package: 'TO-247', quantity: 2 }]);
    const [board, says] = MIDWAY;
    expect(viewOf(board, [...says, 'tick Q4 Q6 insulator']).insulators).toEqual([]);
  });

  it('call the resistor at a base by that name', () => {
    const { board } = loadBoard(
      `board: Relay driver
parts:
  Q1: {kind: npn, pins: {B: BASE, C: COIL, E: GND}}
  R1: {kind: resistor, ohms: 1k, pins: [PORT, BASE]}
  J1: {kind: connector, pins: {1: PORT, 2: COIL, 3: GND}}
`,
      'relay.yaml',
    );
    const view = viewOf(board, ['look Q1 burnt']);
    const order = named([...view.get, ...view.inCase], 'R1');
    expect(order?.parts[0]?.why[0]?.text).toBe('base resistor of Q1');
  });

  it('say what the board file does not tell', () => {
    const view = viewOf(lamp, ['look R2 burnt', 'look Q1 burnt']);
    expect(named(view.get, 'R2')?.missing).toEqual(['package']);
    expect(named(view.get, 'Q1')?.missing).toEqual(['part number', 'package']);
    expect(flowing(view)).toContain('(part number and package not known: read it off each old one');
  });

  it('say which are only fitted new, and which may hold a program', () => {
    const view = viewOf(hoist, ['look U7 burnt', 'look F1 burnt', 'look C6 missing']);
    expect(named(view.get, 'U7')?.mayHoldProgram).toBe(true);
    expect(named(view.get, 'F1')?.newOnly).toBe('only the same type and rating');
    expect(named(view.get, 'C6')?.newOnly).toMatch(/ages/);
    expect(named(viewOf(flyback, ['look C1 burnt']).get, 'C1')?.newOnly).toMatch(/same class/);
  });

  it('keep what is due with age apart from what failed', () => {
    const view = viewOf(flyback, ['look C24 leaking'], 'refurbish');
    expect(view.counts).toMatchObject({ renew: 9, due: 8 });
    expect(textOf(view)).toContain('8 of them due with age');
  });
});

describe('the pull tray', () => {
  it('opens each heatsink once, for all that comes off it, and names what stays', () => {
    const { groups } = viewOf(...MIDWAY).pull;
    const [sink, ...others] = groups;
    expect(sink?.heatsink).toBe('main');
    expect(sink?.parts.map(({ part, isOff }) => [part, isOff])).toEqual([
      ['Q4', false],
      ['Q5', true],
      ['Q6', false],
    ]);
    expect(sink?.staying).toContain('Q1');
    expect(others.every(({ heatsink }) => heatsink === undefined)).toBe(true);
  });

  it('warns of marks that oppose each other, by name', () => {
    const text = flowing(viewOf(...MIDWAY));
    expect(text).toContain('the stripe on aluminium can C21 is minus');
    expect(text).toContain('the bar on tantalum C29 is plus');
    expect(text).toContain('the band on diode D9 is the cathode');
    expect(viewOf(hoist, ['look C21 leaking', 'look D9 burnt']).pull.opposed).toEqual([]);
    // What is fitted can be turned round no more.
    const fitted = viewOf(hoist, ['look C29 cracked', 'look D9 burnt', 'replace C29']);
    expect(fitted.pull.opposed).toEqual([]);
  });

  it('warns of look-alikes in one package', () => {
    const view = viewOf(hoist, ['look C30 cracked', 'look R50 burnt', 'look C32 cracked']);
    expect(view.pull.lookAlikes).toHaveLength(1);
    expect(flowing(view)).toMatch(/Look-alikes in 0603, keep them apart: .*C30.*C32.*R50/);
    expect(flowing(view)).toContain('Ceramic chips carry no print.');
  });

  it('says of which parts it cannot know whether they look alike', () => {
    const text = flowing(viewOf(lamp, ['look R1 burnt', 'look R2 burnt']));
    expect(text).toContain('The board file gives R1 and R2 no package');
  });
});

describe('the fit list', () => {
  const view = viewOf(...MIDWAY);
  const fitted = view.fit.groups.flatMap(({ parts }) => parts);
  const part = (name: string) => fitted.find((each) => each.part === name);

  it('fits low parts first, and tab parts last, fastened before they are soldered', () => {
    expect(view.fit.groups.map(({ what }) => what)).toEqual([
      'surface',
      'leaded',
      'tall',
      'heatsink',
    ]);
    const items = part('Q4')?.boxes.map(({ item }) => item);
    expect(items).toEqual([
      'matched',
      'holes clear',
      'oriented',
      'insulator',
      'fastened',
      'isolation',
      'fitted',
    ]);
    expect(flowing(view)).toContain('Torque of TO-247, M3 screw: 0.8 to 1 N·m');
  });

  it('says which end goes to which net', () => {
    expect(part('C29')?.ends).toEqual(['bar (plus) to V5', 'minus to GND_LOG']);
    expect(part('C21')?.ends).toEqual(['stripe (minus) to GND', 'plus to P48_FAN']);
    expect(part('D9')?.ends).toEqual(['band (cathode) to P48_LOG', 'A to GND_LOG']);
    expect(part('Q4')?.ends).toEqual(['G to G4', 'D (tab) to PH_U', 'S to SH_U']);
    expect(part('R7')?.isEitherWay).toBe(true);
  });

  it('shows what was ticked, and gives the line that ticks the rest', () => {
    const boxes = new Map(part('C29')?.boxes.map((box) => [box.item, box]));
    expect(boxes.get('oriented')).toMatchObject({ isTicked: true, event: 17 });
    expect(boxes.get('fitted')).toMatchObject({ isTicked: false, say: 'replace C29' });
    expect(part('Q4')?.boxes.find(({ item }) => item === 'insulator')?.say).toBe(
      'tick Q4 insulator',
    );
  });

  it('takes no reading below 20 MΩ for an insulator, and says so', () => {
    expect(part('Q6')?.boxes.find(({ item }) => item === 'isolation')?.isTicked).toBe(false);
    expect(flowing(view)).toContain('Q6 reads 2 MΩ to its heatsink: renew its insulator');
  });

  it('puts back the same one where it was not at fault', () => {
    expect(part('C9')?.isNew).toBe(false);
    expect(part('C9')?.boxes.at(-1)?.say).toBe('refit C9');
    expect(flowing(view)).toContain('C9 the same one, either way round');
  });

  it('names the matched sets, with their gate resistors', () => {
    expect(view.fit.sets).toEqual([
      {
        bank: 'lower U',
        fitted: ['Q4', 'Q5', 'Q6'],
        staying: [],
        gateResistors: ['R6', 'R7', 'R8'],
        gateResistorsDiffer: false,
      },
    ]);
  });

  it('doubts a board file that marks the wrong end', () => {
    const text = LAMP.replace('at: [10, 12]', 'mark: stripe at plus');
    const wrong = viewOf(loadBoard(text, 'lamp.yaml').board, ['look C1 leaking']);
    expect(flowing(wrong)).toContain('C1 is said to be marked "stripe at plus"');
    expect(flowing(view)).not.toContain('is said to be marked');
  });

  it('lists joints apart, as they need no part', () => {
    expect(view.mend.map(({ text }) => text)).toContain(
      'joint Q3.D: heat it again with fresh solder',
    );
  });
});

describe('a part from another board', () => {
  it('is tested as its kind conducts, and never an electrolytic', () => {
    const { donors } = viewOf(...MIDWAY);
    const fet = donors.find(({ parts }) => parts.includes('Q4'));
    expect(fet?.readings).toEqual([
      { red: 'D', black: 'S', shows: 'OL' },
      { red: 'S', black: 'D', shows: 'about 0.5 V in the diode test' },
      { red: 'G', black: 'S', shows: 'OL' },
      { red: 'G', black: 'D', shows: 'OL' },
    ]);
    expect(donors.some(({ parts }) => parts.includes('C21'))).toBe(false);
  });
});

describe('the list as text', () => {
  const views = [viewOf(...MIDWAY), viewOf(flyback, [], 'refurbish'), viewOf(lamp, [])];

  it('fits every width from 50 to 200 columns', () => {
    fc.assert(
      fc.property(fc.constantFrom(...views), fc.integer({ min: 50, max: 200 }), (view, width) => {
        for (const line of repairLines(view, { width, palette: NO_COLOUR })) {
          expect(columnsOf(line), line).toBeLessThanOrEqual(width);
          expect(line).not.toMatch(/undefined|NaN|\[object|\u00a0/);
        }
      }),
    );
  });

  it('says the same with and without colour, and never calls a board safe', () => {
    const mark = (text: string): string => `<${text}>`;
    const palette: Palette = { strong: mark, quiet: mark, good: mark, bad: mark, warn: mark };
    for (const view of views) {
      const marked = repairLines(view, { width: 80, palette });
      expect(marked.map((line) => line.replace(/^<|>$/g, '')).join('\n')).toBe(textOf(view));
      expect(textOf(view)).not.toMatch(/\bsafe/i);
    }
  });

  it('keeps control characters of a board file away from the terminal', () => {
    const nasty = '\u001b[31m\u0007';
    const parts = hoist.parts.map((part) => ({
      ...part,
      name: part.name + nasty,
      package: `${part.package}${nasty}`,
      partNumber: `X${nasty}`,
      text: nasty,
      mark: nasty,
      bank: `b${nasty}`,
      heatsink: nasty,
    }));
    const nets = hoist.nets.map((net) => ({ ...net, name: net.name + nasty }));
    const { list } = new Repaired(...MIDWAY);
    const view = viewRepair({ ...hoist, name: nasty, parts, nets }, list);
    // biome-ignore lint/suspicious/noControlCharactersInRegex: these must not be there.
    const control = /[\u0000-\u0009\u000b-\u001f]/;
    expect(textOf(view)).not.toMatch(control);
    expect(repairCsv(view).replaceAll('\r\n', '')).not.toMatch(control);
  });

  it('says when nothing is to be done', () => {
    expect(textOf(viewOf(lamp, []))).toBe(
      'Repair list of Workbench lamp driver (repair)\n' +
        'Nothing is to be renewed, as far as the readings and looks so far tell.',
    );
  });
});

describe('the order as CSV', () => {
  it('reads back as it was, a row for each thing, lines ended by CR LF', () => {
    const view = viewOf(...MIDWAY);
    const csv = repairCsv(view);
    expect(csv.endsWith('\r\n')).toBe(true);
    expect(csv.replaceAll('\r\n', '')).not.toMatch(/[\r\n]/);
    const rows = readCsv(csv, ',').map(({ cells }) => cells);
    expect(rows).toHaveLength(1 + view.get.length + view.inCase.length + view.insulators.length);
    expect(new Set(rows.map((cells) => cells.length))).toEqual(new Set([11]));
    const bank = rows.find((cells) => cells[6] === 'IRFP4110');
    expect(bank?.slice(0, 10)).toEqual([
      'renew',
      '1',
      '3',
      '1',
      '1',
      '1',
      'IRFP4110',
      'n-channel MOSFET, 100 V',
      'TO-247',
      'Q4 Q5 Q6',
    ]);
  });

  it('holds no cell that a spreadsheet would take for a formula', () => {
    const start = fc.constantFrom('=', '+', '-', '@', '\t', ' =', '|', '%', '＝');
    const view = viewOf(lamp, ['look R2 burnt']);
    fc.assert(
      fc.property(start, fc.string(), (sign, rest) => {
        const [order] = view.get;
        const text = sign + rest;
        const nasty = { ...(order as OrderView), partNumber: text, what: text, package: text };
        const [, row] = readCsv(repairCsv({ ...view, get: [nasty] }), ',');
        for (const cell of row?.cells ?? []) expect(cell).not.toMatch(/^\s*[=+\-@\t|%＝]/);
      }),
    );
  });
});
