import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { InputError } from '../../../src/board/diagnostic.ts';
import { loadBoard } from '../../../src/board/load.ts';
import { admit, boardOf, deriveJob, extendJob } from '../../../src/job/derive.ts';
import { parseSay } from '../../../src/job/notation.ts';
import { printSay } from '../../../src/job/print-say.ts';
import { analyse, openWorkbench } from '../../../src/steps/advise.ts';
import { LAMP } from '../../cli/scratch.ts';

const { board } = loadBoard(LAMP, 'lamp.yaml');

function derive(says: readonly string[]) {
  let job = deriveJob(board, []);
  for (const [i, text] of says.entries()) {
    const say = printSay(boardOf(board, job), admit(board, job, text));
    job = extendJob(board, job, { n: i + 2, at: '', say, line: i + 2 });
  }
  return job;
}

function refusal(says: readonly string[]): string {
  try {
    derive(says);
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return error.diagnostics.map(({ message, hint }) => `${message}; ${hint}`).join('\n');
  }
  return 'not refused';
}

/** What the board of a job has of a part. */
function partIn(says: readonly string[], name: string): string {
  const seen = boardOf(board, derive(says));
  const part = seen.partNamed.get(name);
  const pins = part?.pins.map((pin) => {
    const at = seen.pins[pin];
    return `${at?.name} ${seen.nets[at?.net ?? -1]?.name}`;
  });
  return `${part?.kind.name} ${pins?.join(', ')}`;
}

describe('what an eye saw', () => {
  it.each([
    ['a new jumper', ['W5 joins P24 and new P24B'], 'W5', 'jumper 1 P24, 2 P24B'],
    ['one without "and"', ['W5 joins P24 GND'], 'W5', 'jumper 1 P24, 2 GND'],
    ['one between pins', ['W5 joins Q1.D and C1.plus'], 'W5', 'jumper 1 LAMP_LOW, 2 P24'],
    [
      'pins in two words',
      ['D7 is a diode', 'D7 K goes to Q1 D'],
      'D7',
      'diode A UNSEEN_D7_A, K LAMP_LOW',
    ],
    ['any letter case', ['d2.a goes to gate instead'], 'D2', 'schottky A GATE, K P24_LAMP'],
    [
      'a kind by its title',
      ['D7 is a Zener diode 18 V'],
      'D7',
      'zener A UNSEEN_D7_A, K UNSEEN_D7_K',
    ],
    ['what no kind fits', ['U9 is a hall sensor', 'U9.VCC goes to P24'], 'U9', 'unknown VCC P24'],
    [
      'a pin nobody followed',
      ['D7 is a diode', 'D8 is a diode', 'D7.K goes to D8.K', 'D8.K goes to P24'],
      'D7',
      'diode A UNSEEN_D7_A, K P24',
    ],
    ['another kind', ['D2 is a diode instead'], 'D2', 'diode A LAMP_LOW, K P24_LAMP'],
    [
      'taken back',
      ['W5 joins P24 and GND', 'D2.A goes to GATE instead', 'undo'],
      'D2',
      'schottky A LAMP_LOW, K P24_LAMP',
    ],
  ])('puts in %s', (_, says, part, due) => {
    expect(partIn(says, part)).toBe(due);
  });

  it('gives values in the unit of the kind', () => {
    const seen = boardOf(
      board,
      derive(['C9 is a ceramic 470n 63 V', 'C2 is 2.2 uF instead', 'R9 is a resistor 4k7']),
    );
    expect(seen.partNamed.get('C9')).toMatchObject({ farads: 470e-9, volts: 63 });
    expect(seen.partNamed.get('C2')).toMatchObject({ farads: 2.2e-6, volts: 50 });
    expect(seen.partNamed.get('R9')).toMatchObject({ ohms: 4700 });
  });

  it.each([
    [
      'D2.A goes to GATE',
      /D2.A is on LAMP_LOW; if the board file is wrong, say so: D2.A goes to GATE instead; if the two nets are one by copper, link them/,
    ],
    ['W1 joins P24 and GND', /W1 joins P24 and P24_LAMP; .*W1 joins P24 and GND instead/],
    ['C1 is 220 uF', /C1 has 470 µF/],
    ['D2 is a zener', /D2 is a Schottky diode/],
    ['D9.K goes to GND', /no part is called "D9"; .*D9 is a diode/],
    ['D2.X goes to GND', /D2 has no pin "X"/],
    ['W5 joins P24 and P24B', /no net is called "P24B"; .*new P24B/],
    ['W5 joins P24 and P24', /both ends are one net/],
    ['W5 joins P24', /joins two nets; e.g. W5 joins/],
    ['D8 is a diod', /no kind of part called "diod"; did you mean "diode"/],
    ['C5 is a capacitor', /could be ceramic capacitor, film capacitor/],
    ['R8 is a resistor', /a resistor needs its ohms/],
    ['D2 is 10 uF', /a Schottky diode has no farads/],
    ['Q1 is a diode instead', /Q1 has 3 pins, a diode has 2/],
    ['GATE is a diode', /"GATE" is a net of the board/],
    ['D8 is', /is not a whole reading/],
  ])('refuses "%s" in words', (say, due) => {
    expect(refusal([say])).toMatch(due);
  });

  it('may be told of what the file only guesses, without calling it wrong', () => {
    const { board: guessed } = loadBoard(
      LAMP.replace(
        'C2: {kind: ceramic, farads: 1u,',
        'C2: {kind: ceramic, guess: [kind by its letter, order of pins], farads: 1u,',
      ),
      'lamp',
    );
    const say = parseSay(guessed, 'C2 is a film 2.2 uF', deriveJob(guessed, []).evidence.state);
    const job = deriveJob(guessed, [{ n: 2, at: '', say: printSay(guessed, say), line: 2 }]);
    const part = boardOf(guessed, job).partNamed.get('C2');
    expect(part).toMatchObject({ farads: 2.2e-6, guesses: ['order of pins'] });
    expect(part?.kind.name).toBe('film');
  });

  it('leaves readings alone that name nets called like its words', () => {
    const { board: odd } = loadBoard(
      'board: b\nparts: {R1: {kind: resistor, ohms: 1, pins: [is, goes]}}',
      'b',
    );
    expect(parseSay(odd, 'goes is beep')).toMatchObject({ do: 'read' });
    expect(parseSay(odd, 'goes is 1 ohm')).toMatchObject({ do: 'read' });
  });
});

const net = fc.constantFrom(...board.nets.map(({ name }) => name));
const pin = fc.constantFrom(
  ...board.pins.map(({ part, name }) => `${board.parts[part]?.name}.${name}`),
);
const lines = fc.oneof(
  fc
    .tuple(fc.constantFrom('W1', 'W5'), net, net)
    .filter(([, a, b]) => a !== b)
    .map(([w, a, b]) => `${w} joins ${a} and ${b} instead`),
  fc
    .tuple(pin, fc.oneof(net, pin, fc.constant('new X')))
    .map(([from, to]) => `${from} goes to ${to} instead`),
  fc.constantFrom(
    'D7 is a diode',
    'D7 is an unknown thing instead',
    'C2 is 2.2 uF 63 V instead',
    'U9 is a gate driver',
  ),
);
const readings = fc
  .tuple(pin, pin)
  .filter(([a, b]) => a !== b)
  .map(([a, b]) => `${a} ${b} beep`);

describe('the record of it', () => {
  it('reads back as it is printed', () => {
    fc.assert(
      fc.property(lines, (text) => {
        const say = parseSay(board, text);
        expect(parseSay(board, printSay(board, say))).toEqual(say);
      }),
    );
  });

  it('gives the same job line by line and all at once, and readings of the board as it is known now', () => {
    const record = fc.array(
      fc.oneof(lines, readings, fc.constantFrom('undo', 'lift W1', 'refit W1')),
      { maxLength: 9 },
    );
    fc.assert(
      fc.property(record, (texts) => {
        let job = deriveJob(board, []);
        for (const text of texts) {
          try {
            const say = printSay(boardOf(board, job), admit(board, job, text));
            const n = job.history.events.length + 2;
            job = extendJob(board, job, { n, at: '', say, line: n });
          } catch (error) {
            if (!(error instanceof InputError)) throw error;
          }
        }
        const anew = deriveJob(board, job.history.events);
        expect(anew.evidence).toEqual(job.evidence);
        expect(job.problems).toEqual([]);
        const seen = boardOf(board, job);
        for (const { red, black } of job.evidence.readings) {
          for (const point of [red, black]) {
            if (point.pin !== undefined) expect(seen.pins[point.pin]?.net).toBe(point.net);
          }
        }
        // Read against the board with all of it in, the record says the same.
        expect(deriveJob(seen, job.history.events).evidence).toEqual(job.evidence);
      }),
      { numRuns: 60 },
    );
  });

  it('explains an earlier reading by what was seen since', () => {
    const weigh = (says: readonly string[]) => {
      const job = derive(says);
      return analyse(openWorkbench(boardOf(board, job)), job.evidence).diagnosis;
    };
    const before = ['GATE P24_LAMP beep', 'GATE P24_LAMP beep'];
    const suspected = (diagnosis: ReturnType<typeof weigh>): number =>
      Math.max(0, ...diagnosis.suspects.map(({ weight }) => weight));
    expect(suspected(weigh(before))).toBeGreaterThan(0.3);
    expect(suspected(weigh([...before, 'W5 joins GATE and P24_LAMP']))).toBeLessThan(0.05);
  });
});
