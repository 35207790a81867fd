import { describe, expect, it } from 'vitest';
import { InputError } from '../../src/board/diagnostic.ts';
import { admit, deriveJob } from '../../src/job/derive.ts';
import { parseSay, printSay } from '../../src/job/notation.ts';
import { events } from './events.ts';
import { tinyBoard } from './tiny-board.ts';

const board = tinyBoard();

function said(...lines: string[]): string[] {
  return deriveJob(board, events(...lines)).active.map(({ event }) => event.say);
}

function refusal(lines: readonly string[], text: string): string {
  try {
    admit(board, deriveJob(board, events(...lines)), text);
  } catch (error) {
    if (error instanceof InputError) return error.message;
    throw error;
  }
  return '';
}

describe('redo', () => {
  it('brings back what the last undo took, one line or several, in their order', () => {
    const three = ['P48 GND beep', 'lift W3', 'P48 GND quiet'];
    expect(said(...three, 'undo 2', 'redo')).toEqual(three.slice(0, 2));
    expect(said(...three, 'undo 2', 'redo', 'redo')).toEqual(three);
    expect(said(...three, 'undo', 'undo', 'redo 2')).toEqual(three);
    const redone = deriveJob(board, events(...three, 'undo 3', 'redo 2'));
    expect(redone.history.undone.map(({ event }) => event.say)).toEqual(['P48 GND quiet']);
    expect(redone.evidence.readings.map(({ id }) => id)).toEqual([2]);
    expect(redone.ledger).toHaveLength(1);
  });

  it('is over once another line was said', () => {
    const lines = ['P48 GND beep', 'undo', 'note another try'];
    expect(refusal(lines, 'redo')).toContain('nothing to redo');
    expect(refusal(lines.slice(0, 2), 'redo 2')).toContain('only 1 events can be brought back');
    expect(refusal(lines.slice(0, 2), 'redo')).toBe('');
    expect(said(...lines, 'redo')).toEqual(['note another try']);
  });

  it('can itself be followed by undo', () => {
    expect(said('P48 GND beep', 'undo', 'redo', 'undo')).toEqual([]);
    expect(said('P48 GND beep', 'undo', 'redo', 'undo', 'redo')).toEqual(['P48 GND beep']);
  });
});

describe('pass', () => {
  it.each([
    ['pass P48 GND no room for the probes', 'pass P48 GND because no room for the probes'],
    ['pass p48 gnd because later', 'pass P48 GND because later'],
    ['pass lift W3 glued down', 'pass lift W3 because glued down'],
    ['pass remove Q3 Q1 because riveted', 'pass remove Q3 Q1 because riveted'],
    ['pass off Q3: D S no clip', 'pass off Q3: D S because no clip'],
    ['pass look Q3 because under a can', 'pass look Q3 because under a can'],
    ['pass look P48 GND because under a can', 'pass look P48 GND because under a can'],
    ['pass reflow Q3.D no iron', 'pass reflow Q3.D because no iron'],
  ])('reads "%s"', (line, printed) => {
    expect(printSay(board, parseSay(board, line))).toBe(printed);
  });

  it.each(['pass', 'pass P48', 'pass P48 GND', 'pass lift', 'pass remove Q3 because'])(
    'refuses "%s" and shows how',
    (line) => {
      expect(refusal([], line)).toMatch(/"pass" needs|say why/);
    },
  );

  it('holds until the step is done all the same, or the board is another one', () => {
    const passed = (...lines: string[]): number =>
      deriveJob(board, events(...lines)).evidence.passed?.size ?? 0;
    const pass = ['pass P48 GND no room', 'pass look Q3 dark'];
    expect(passed(...pass)).toBe(2);
    expect(passed(...pass, 'note x')).toBe(2);
    expect(passed(...pass, 'GND P48 quiet')).toBe(1);
    expect(passed(...pass, 'look Q3 burnt')).toBe(1);
    expect(passed(...pass, 'lift W3')).toBe(0);
    expect(passed(...pass, 'soak stopped smoke')).toBe(0);
    expect(passed(...pass, 'undo 2')).toBe(0);
  });
});

describe('unreachable', () => {
  const pads = (...lines: string[]): readonly number[] => [
    ...(deriveJob(board, events(...lines)).evidence.unreachable?.pins ?? []),
  ];
  const pinsOf = (name: string): readonly number[] => board.partNamed.get(name)?.pins ?? [];

  it('of a pin, a part or a net lasts until it is taken back', () => {
    const [first = -1, ...rest] = pinsOf('Q3');
    const gate = `Q3.${board.pins[first]?.name}`;
    expect(pads(`unreachable ${gate} under the shield`)).toEqual([first]);
    expect(pads('unreachable Q3', 'lift W3')).toEqual([...pinsOf('Q3')]);
    expect(pads('unreachable Q3', `reachable ${gate}`)).toEqual(rest);
    expect(pads('unreachable P48')).toEqual([...(board.netNamed.get('P48')?.pins ?? [])]);
    expect(deriveJob(board, events('unreachable P48', 'reachable P48')).evidence).toEqual(
      deriveJob(board, []).evidence,
    );
  });

  it('of a net does not outlast one of its pads being reached', () => {
    const pin = board.netNamed.get('P48')?.pins[0] ?? -1;
    const name = `${board.parts[board.pins[pin]?.part ?? -1]?.name}.${board.pins[pin]?.name}`;
    const { unreachable } = deriveJob(
      board,
      events('unreachable P48', `reachable ${name}`),
    ).evidence;
    expect(unreachable?.nets.size).toBe(0);
    expect(unreachable?.pins.has(pin)).toBe(false);
  });

  it('names what it does not know', () => {
    expect(refusal([], 'unreachable Q9')).toContain('Q9');
    expect(refusal([], 'unreachable')).toContain('needs a part, a pin or a net');
  });
});
