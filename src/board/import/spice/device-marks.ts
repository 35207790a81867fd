import type { Element, Scope } from './scope.ts';

/** Elements that only models of parts are made of: controlled sources, switches, lines of delay. */
const MODEL_LETTERS = new Set('EFGHBSWTOUAYPN');

/** A resistor or a capacitor of these is a figure in a model, and no part: Ω, F. */
const MOST_OHMS = 1e9;
const LEAST_FARADS = 2e-13;

/** Why an element tells that the subcircuit around it is the model of a part. */
export function deviceMark({ name, words }: Element): string | undefined {
  const letter = name.charAt(0).toUpperCase();
  if (MODEL_LETTERS.has(letter)) return `${name} in it is no part of a board`;
  const isSized = words.some((word) => /^(W|L|AREA)=/i.test(word));
  return isSized && (letter === 'M' || letter === 'Q')
    ? `${name} in it is part of a chip`
    : undefined;
}

/** Names of calls that are designators of parts: `XU1`, `XQ3`, `XD2`. */
const PART_CALL = /^X(U|IC|A|AR|Q|D|Z|T|TR|OK|OP|VR|K|J|M|L|F|TVS|ZD|MOV|RV|RT|RN)\d+[A-Z]?$/i;

/**
 * Why a subcircuit is taken as one part; undefined when its parts are parts of the board.
 *
 * A model of a part and a drawing within a drawing look alike in a deck. A model has controlled
 * sources, models, sizes or figures that no board has, or it has two ends, or its name where it is
 * called is a designator.
 * @param calls  names of the elements that call it
 */
export function deviceReason(scope: Scope, calls: readonly string[]): string | undefined {
  if (scope.device !== undefined) return scope.device;
  if (scope.isSized) return 'it has parameters';
  if (scope.elements.length === 0) return 'there is nothing in it';
  if (scope.ports.length < 3) return `it has ${scope.ports.length === 1 ? 'one end' : 'two ends'}`;
  const designator = calls.find((name) => PART_CALL.test(name));
  if (designator !== undefined) return `${designator} is the name of a part`;
  const odd = scope.elements.find((element) => isOdd(element, scope));
  return odd && `${odd.name} in it has a value that no part has`;
}

function isOdd({ name, words }: Element, scope: Scope): boolean {
  const value = scope.parameters.value(words[2] ?? '');
  if (value === undefined) return false;
  const letter = name.charAt(0).toUpperCase();
  if (letter === 'R') return value < 0 || value > MOST_OHMS;
  return letter === 'C' && value < LEAST_FARADS;
}
