import type { Checked } from './checked.ts';
import { fieldOf, isTrue, numberOf, pairOf, textOf, textsOf } from './checked.ts';
import type { Part } from './model.ts';

/** What goes into {@link Part} just as the file says it. */
export type PartFacts = Omit<Part, 'index' | 'name' | 'kind' | 'pins' | 'windings' | 'line'>;

/** Reads the plain facts of an entry of `parts` or `jumpers`. */
export function readFacts(piece: Checked): PartFacts {
  const heatsink = fieldOf(piece, 'heatsink')?.value;
  const side = textOf(fieldOf(piece, 'side'));
  return {
    ...defined('ohms', numberOf(fieldOf(piece, 'ohms'))),
    ...defined('farads', numberOf(fieldOf(piece, 'farads'))),
    ...defined('henries', numberOf(fieldOf(piece, 'henries'))),
    ...defined('volts', numberOf(fieldOf(piece, 'volts'))),
    ...defined('toleranceRatio', numberOf(fieldOf(piece, 'tolerance'))),
    ...defined('package', textOf(fieldOf(piece, 'package'))),
    ...defined('heatsink', heatsink === true ? 'heatsink' : textOf(fieldOf(piece, 'heatsink'))),
    ...defined('torque', numberOf(fieldOf(piece, 'torque'))),
    ...defined('insulator', insulatorOf(textOf(fieldOf(piece, 'insulator')))),
    ...defined('bank', textOf(fieldOf(piece, 'bank'))),
    ...defined('at', pairOf(fieldOf(piece, 'at'))),
    ...defined('side', sideOf(side)),
    ...defined('mark', textOf(fieldOf(piece, 'mark'))),
    ...defined('partNumber', textOf(fieldOf(piece, 'part-number'))),
    ...defined('text', textOf(fieldOf(piece, 'text'))),
    failsFirst: isTrue(fieldOf(piece, 'fails-first')),
    guesses: textsOf(fieldOf(piece, 'guess')),
  };
}

function sideOf(word: string | undefined): 'top' | 'bottom' | undefined {
  return word === 'top' || word === 'bottom' ? word : undefined;
}

function insulatorOf(word: string | undefined): Part['insulator'] {
  return word === 'pad' || word === 'mica' || word === 'none' ? word : undefined;
}

/** `{key: value}`, or nothing at all: absent facts leave no key behind. */
function defined<K extends string, V>(key: K, value: V | undefined): { [P in K]?: V } {
  return value === undefined ? {} : ({ [key]: value } as { [P in K]?: V });
}
