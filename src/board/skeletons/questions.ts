import type { Question } from './question.ts';

/** Questions that several stages ask. */

export const busVolts = (usual: number, most = 1000): Question => ({
  name: 'volts',
  ask: 'Volts of the supply rail:',
  is: 'volts',
  most,
  usual,
});

export const parallel = (
  usual: number,
  what = 'Transistors in parallel in each arm:',
): Question => ({
  name: 'parallel',
  ask: what,
  is: 'count',
  least: 1,
  most: 16,
  usual,
});

export const DEVICE: Question = {
  name: 'device',
  ask: 'Transistors:',
  is: 'choice',
  words: ['mosfet', 'igbt'],
  usual: 'mosfet',
};

export const bulk = (usual: number): Question => ({
  name: 'bulk',
  ask: 'Bulk capacitors in parallel:',
  is: 'count',
  least: 1,
  most: 24,
  usual,
});

export const sense = (usual: boolean): Question => ({
  name: 'sense',
  ask: 'Is there a sense resistor?',
  is: 'yes-or-no',
  usual,
});

export const SNUBBER: Question = {
  name: 'snubber',
  ask: 'Are there snubbers across the switches?',
  is: 'yes-or-no',
  usual: true,
};

/** Asked of every stage, last. */
export const COMMON: (title: string) => readonly Question[] = (title) => [
  {
    name: 'first',
    ask: 'First designators, e.g. Q101 R201 (or one number for all letters):',
    is: 'designators',
    usual: '1',
  },
  { name: 'board', ask: 'Name of the board:', is: 'text', usual: title },
];
