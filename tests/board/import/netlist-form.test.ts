import { expect, test } from 'vitest';
import { netlistForm } from '../../../src/board/import/netlist-form.ts';
import { netlistOf } from './netlist-text.ts';

test.each([
  ['IPC-D-356', 'x.txt', netlistOf('R1 A B', 'R2 B C')],
  ['IPC-D-356', 'x.net', `C  a comment\nC  and another\n${netlistOf('R1 A B')}`],
  ['pin list', 'x.txt', 'part,pin,net\nR1,1,A'],
  ['pin list', 'x.cir', 'Net;Pad;Designator\nA;1;R1'],
  ['SPICE', 'x.txt', 'my board\nR1 a b 1k\nC1 b 0 1u'],
  ['SPICE', 'x.net', '* made by a drawing program\nXU1 a b c d OP\nR1 a b {R}\n.end'],
  ['SPICE', 'x.csv', '* title, with, commas\n.include "a.lib"\nR1 a b 1k\n'],
  ['IPC-D-356', 'empty.ipc', ''],
  ['SPICE', 'empty.cir', ''],
  ['pin list', 'empty.csv', ''],
  [undefined, 'x.txt', 'Dear reader,\nthis is a letter.\n'],
  [undefined, 'x.net', '(export (version D)\n  (components\n    (comp (ref R1)\n'],
  [undefined, 'x.csv', '<?xml version="1.0"?>\n<board/>'],
])('%s is told from %s', (form, file, text) => {
  expect(netlistForm(text.split('\n'), file)).toBe(form);
});
