import { describe, expect, it } from 'vitest';
import { loadBoard } from '../../../src/board/load.ts';
import { LINE_WORDS } from '../../../src/board/names.ts';
import { checkParams } from '../../../src/cli/serve/check-params.ts';
import { lineOfObject, SAID_OBJECT } from '../../../src/cli/serve/said-object.ts';
import { closed, type Schema } from '../../../src/cli/serve/schema/words.ts';
import { parseSay, printSay } from '../../../src/job/notation.ts';
import { LAMP } from '../scratch.ts';

const { board } = loadBoard(LAMP, 'lamp.yaml');
const STRICT: Schema = closed(SAID_OBJECT);

/** Objects and the lines that say the same. */
const ALIKE: readonly [object, string][] = [
  [{ do: 'read', points: ['P24', 'GND'], mode: 'continuity', value: 'beep' }, 'P24 GND beep'],
  [{ do: 'read', points: ['P24', 'GND'], mode: 'ohms', value: 'OL' }, 'P24 GND OL'],
  [{ do: 'read', points: ['Q1.D', 'Q1.S'], mode: 'ohms', value: 47000 }, 'Q1.D Q1.S 47 kohm'],
  [{ do: 'read', points: ['C2.1', 'C2.2'], mode: 'four-wire', value: 0.012 }, 'C2.1 C2.2 12 mohm'],
  [{ do: 'read', points: ['D2.A', 'D2.K'], mode: 'diode', value: 0.21 }, 'D2.A D2.K 0.21 V'],
  [
    { do: 'read', points: ['R1.1', 'R1.2'], mode: 'low-voltage', value: 180 },
    'R1.1 R1.2 180 ohm low-voltage',
  ],
  [{ do: 'read', off: 'Q1', points: ['D', 'S'], mode: 'ohms', value: 0.4 }, 'off Q1: D S 0.4 ohm'],
  [{ do: 'joins', part: 'W5', ends: ['P24', { new: 'P24B' }] }, 'W5 joins P24 and new P24B'],
  [{ do: 'joins', part: 'W5', ends: ['P24', 'GATE'] }, 'W5 joins P24 and GATE'],
  [
    { do: 'goes', pin: 'D2.A', to: { new: 'CLAMP' }, instead: true },
    'D2.A goes to new CLAMP instead',
  ],
  [{ do: 'goes', pin: 'D2.A', to: 'GATE', instead: true }, 'D2.A goes to GATE instead'],
  [{ do: 'is', part: 'D7', what: 'a diode 100 V' }, 'D7 is a diode 100V'],
  [{ do: 'lift', pins: ['Q1.D'] }, 'lift Q1.D'],
  [{ do: 'remove', parts: ['Q1', 'Q2'] }, 'remove Q1 Q2'],
  [{ do: 'refit', parts: ['Q1'] }, 'refit Q1'],
  [{ do: 'replace', parts: ['Q1'] }, 'replace Q1'],
  [{ do: 'reflow', pins: ['Q1.D', 'R1'] }, 'reflow Q1.D R1'],
  [{ do: 'clean', nets: ['P24', 'GND'] }, 'clean P24 GND'],
  [{ do: 'mend', net: 'P24' }, 'mend P24'],
  [{ do: 'link', nets: ['P24', 'GATE'] }, 'link P24 GATE'],
  [{ do: 'look', at: ['Q1'], finding: 'burnt' }, 'look Q1 burnt'],
  [{ do: 'look', at: ['P24', 'GND'], finding: 'looks sound' }, 'look P24 GND looks sound'],
  [{ do: 'inject', points: ['P24', 'GND'], amps: 0.5 }, 'inject P24 GND 0.5 A'],
  [{ do: 'inject off' }, 'inject off'],
  [{ do: 'undo' }, 'undo'],
  [{ do: 'undo', count: 3 }, 'undo 3'],
  [{ do: 'redo', count: 2 }, 'redo 2'],
  [{ do: 'pass', step: 'P24 GND', text: 'no room' }, 'pass P24 GND because no room'],
  [{ do: 'pass', step: 'lift W1', text: 'glued' }, 'pass lift W1 because glued'],
  [{ do: 'unreachable', at: 'Q1.G', text: 'shielded' }, 'unreachable Q1.G shielded'],
  [{ do: 'reachable', at: 'Q1.G' }, 'reachable Q1.G'],
  [{ do: 'note', text: 'fan  was jammed' }, 'note fan  was jammed'],
  [{ do: 'customer', text: 'no light' }, 'customer no light'],
  [{ do: 'arrived', text: 'in a bag' }, 'arrived in a bag'],
  [{ do: 'marking', text: '4711' }, 'marking 4711'],
  [{ do: 'technician', text: 'Ada' }, 'technician Ada'],
  [{ do: 'photo', file: 'a "b".jpg', at: 'Q1', text: 'edge' }, 'photo "a ""b"".jpg" Q1 edge'],
  [{ do: 'residual', points: ['P24', 'GND'], volts: -0.2 }, 'residual P24 GND -0.2 V'],
  [{ do: 'powered', points: ['P24', 'GND'], volts: 23.9 }, 'powered P24 GND 23.9 V'],
  [{ do: 'isolation', part: 'Q1', value: 'OL' }, 'isolation Q1 OL'],
  [{ do: 'isolation', part: 'Q1', value: 2e7 }, 'isolation Q1 20 Mohm'],
  [{ do: 'tick', parts: ['Q1'], item: 'holes clear' }, 'tick Q1 holes clear'],
  [{ do: 'draws', rail: 'supply', amps: 0.12 }, 'draws supply 0.12 A'],
  [{ do: 'power', stage: 2, result: 'passed' }, 'power 2 passed'],
  [
    { do: 'power', stage: 2, result: 'stopped', text: 'lamp bright' },
    'power 2 stopped lamp bright',
  ],
  [{ do: 'function', result: 'failed', text: 'dim' }, 'function failed dim'],
  [{ do: 'soak', what: 'start', seconds: 7200 }, 'soak start 2 h'],
  [{ do: 'soak', what: 'finding', text: 'fan rattles' }, 'soak finding fan rattles'],
  [{ do: 'soak', what: 'passed' }, 'soak passed'],
  [{ do: 'temp', part: 'Q1', celsius: 71 }, 'temp Q1 71 C'],
  [{ do: 'at', at: 'Q1', x: 31.5, y: -2, side: 'bottom' }, 'at Q1 31.5 -2 bottom'],
  [{ do: 'skip', stage: 'look-over', text: 'seen before' }, 'skip look-over seen before'],
  [{ do: 'written', digest: 'a1'.repeat(32) }, `written ${'a1'.repeat(32)}`],
  [{ do: 'sign-off', result: 'cleared' }, 'sign-off cleared'],
];

describe('what is said as an object', () => {
  it.each(ALIKE)('%j', (object, line) => {
    expect(checkParams(STRICT, object)).toEqual([]);
    const said = lineOfObject(object as Record<string, unknown>);
    expect(parseSay(board, said)).toEqual(parseSay(board, line));
    expect(printSay(board, parseSay(board, said))).toBe(line);
  });

  it('has an example above for every form', () => {
    const forms = (SAID_OBJECT.anyOf as { properties: { do: { const: string } } }[]).map(
      ({ properties }) => properties.do.const,
    );
    expect(new Set(ALIKE.map(([object]) => (object as { do: string }).do))).toEqual(new Set(forms));
  });

  it('has a form for every word that starts a line', () => {
    const forms = ALIKE.map(([object]) => (object as { do: string }).do);
    const missing = LINE_WORDS.filter((word) => word !== 'off' && !forms.includes(word));
    expect(missing).toEqual([]);
  });

  it('points at what is wrong in an object', () => {
    const told = (object: unknown): string[] =>
      checkParams(STRICT, object, '/event').map(({ message, hint }) => `${message}; ${hint}`);
    expect(told({ do: 'remov', parts: ['Q1'] })[0]).toContain('did you mean "remove"?');
    expect(told({ parts: ['Q1'] })[0]).toContain('"do" is missing');
    expect(told({ do: 'remove', parts: ['Q1 Q2'] })[0]).toContain('params/event/parts/0: a name');
    expect(told({ do: 'remove', part: ['Q1'] }).join()).toContain('did you mean "parts"?');
    expect(told({ do: 'note', text: 'two\nlines' })[0]).toContain('on one line');
    expect(told({ do: 'undo', count: 0 })[0]).toContain('0 is less than 1');
  });
});
