import type { Checked } from './checked.ts';
import { entriesOf, isTrue, numberOf, pairOf, textOf, textsOf } from './checked.ts';
import type { Part } from './model.ts';

/** What goes into {@link Part} just as the file says it. */
export type PartFacts = Omit<Part, 'index' | 'name' | 'kind' | 'pins' | 'windings' | 'line'>;

/** Reads the plain facts of an entry of `parts` or `jumpers`; absent facts leave no key behind. */
export function readFacts(piece: Checked): PartFacts {
  const given = entriesOf(piece);
  const number = (word: string): number | undefined => numberOf(given.get(word)?.value);
  const text = (word: string): string | undefined => textOf(given.get(word)?.value);
  const heatsink = given.get('heatsink')?.value;
  const facts: Partial<Facts> = {};
  const put = <K extends keyof Facts>(key: K, value: Facts[K] | undefined): void => {
    if (value !== undefined) facts[key] = value;
  };
  put('ohms', number('ohms'));
  put('farads', number('farads'));
  put('henries', number('henries'));
  put('volts', number('volts'));
  put('toleranceRatio', number('tolerance'));
  put('package', text('package'));
  put('heatsink', heatsink?.value === true ? 'heatsink' : textOf(heatsink));
  put('torque', number('torque'));
  put('insulator', insulatorOf(text('insulator')));
  put('bank', text('bank'));
  put('at', pairOf(given.get('at')?.value));
  put('side', sideOf(text('side')));
  put('mark', text('mark'));
  put('partNumber', text('part-number'));
  put('text', text('text'));
  const failsFirst = isTrue(given.get('fails-first')?.value);
  const guesses = textsOf(given.get('guess')?.value);
  return { ...facts, failsFirst, guesses };
}

type Facts = { -readonly [K in keyof PartFacts]-?: NonNullable<PartFacts[K]> };

function sideOf(word: string | undefined): 'top' | 'bottom' | undefined {
  return word === 'top' || word === 'bottom' ? word : undefined;
}

function insulatorOf(word: string | undefined): Part['insulator'] {
  return word === 'pad' || word === 'mica' || word === 'none' ? word : undefined;
}
