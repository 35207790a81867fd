import type { Checked } from './checked.ts';
import { fieldOf, isTrue, numberOf, pairOf, textOf, textsOf } from './checked.ts';
import type { Part } from './model.ts';

/** What goes into {@link Part} just as the file says it. */
export type PartFacts = Omit<Part, 'index' | 'name' | 'kind' | 'pins' | 'windings' | 'line'>;

/** Reads the plain facts of an entry of `parts` or `jumpers`; absent facts leave no key behind. */
export function readFacts(piece: Checked): PartFacts {
  const heatsink = fieldOf(piece, 'heatsink');
  const side = textOf(fieldOf(piece, 'side'));
  const facts: Partial<Facts> = {};
  const put = <K extends keyof Facts>(key: K, value: Facts[K] | undefined): void => {
    if (value !== undefined) facts[key] = value;
  };
  put('ohms', numberOf(fieldOf(piece, 'ohms')));
  put('farads', numberOf(fieldOf(piece, 'farads')));
  put('henries', numberOf(fieldOf(piece, 'henries')));
  put('volts', numberOf(fieldOf(piece, 'volts')));
  put('toleranceRatio', numberOf(fieldOf(piece, 'tolerance')));
  put('package', textOf(fieldOf(piece, 'package')));
  put('heatsink', heatsink?.value === true ? 'heatsink' : textOf(heatsink));
  put('torque', numberOf(fieldOf(piece, 'torque')));
  put('insulator', insulatorOf(textOf(fieldOf(piece, 'insulator'))));
  put('bank', textOf(fieldOf(piece, 'bank')));
  put('at', pairOf(fieldOf(piece, 'at')));
  put('side', sideOf(side));
  put('mark', textOf(fieldOf(piece, 'mark')));
  put('partNumber', textOf(fieldOf(piece, 'part-number')));
  put('text', textOf(fieldOf(piece, 'text')));
  const failsFirst = isTrue(fieldOf(piece, 'fails-first'));
  return { ...facts, failsFirst, guesses: textsOf(fieldOf(piece, 'guess')) };
}

type Facts = { -readonly [K in keyof PartFacts]-?: NonNullable<PartFacts[K]> };

function sideOf(word: string | undefined): 'top' | 'bottom' | undefined {
  return word === 'top' || word === 'bottom' ? word : undefined;
}

function insulatorOf(word: string | undefined): Part['insulator'] {
  return word === 'pad' || word === 'mica' || word === 'none' ? word : undefined;
}
