import type { Complaint } from './findings.ts';
import { nearest } from './nearest.ts';

/** Every complaint about a board file, in one place: code, wording, and how to mend it. */

/** `did you mean "x"?`, or the choices when they are few, or nothing. */
function meant(word: string, known: Iterable<string>): string | undefined {
  const all = [...known];
  const near = nearest(word, all);
  if (near !== undefined) return `did you mean "${near}"?`;
  return all.length > 0 && all.length <= 12 ? `known here: ${all.join(', ')}` : undefined;
}

const quoted = (word: string): string => `"${shorten(word)}"`;

function shorten(word: string): string {
  return word.length > 60 ? `${word.slice(0, 57)}…` : word;
}

export const aliasRefused = (word: string): Complaint => ({
  code: 'ALIAS',
  message: `${quoted(word)}: board files use no YAML anchors, aliases or tags`,
  hint: 'write the values out',
});

export const badKey = (): Complaint => ({
  code: 'BAD_KEY',
  message: 'a key must be a single word or text',
});

export const badName = (word: string, asks: string, reserved: boolean): Complaint => ({
  code: 'BAD_NAME',
  message: reserved
    ? `${quoted(word)} is a word of the reading notation and cannot be a name`
    : `${word === '' ? 'an empty text' : quoted(word)} is not ${asks}`,
});

export const badYaml = (what: string, hint?: string): Complaint => ({
  code: 'BAD_YAML',
  message: `not valid YAML: ${what}`,
  hint,
});

export const copperOutOfRange = (
  value: number,
  unit: 'oz' | 'mm',
  least: number,
  most: number,
): Complaint => ({
  code: 'BAD_VALUE',
  message: `${Number(value.toPrecision(3))} ${unit} must lie between ${least} and ${most} ${unit}`,
  hint: unit === 'oz' ? '1 oz is 35 um of copper' : undefined,
});

export const duplicateKey = (word: string, line: number): Complaint => ({
  code: 'DUPLICATE',
  message: `${quoted(word)} is given twice, first on line ${line}`,
  hint: 'keep one of the two',
});

export const duplicatePart = (word: string, line: number): Complaint => ({
  code: 'DUPLICATE',
  message: `there is already a part named ${quoted(word)}, on line ${line}`,
  hint: 'jumpers are parts too; give one of the two another name',
});

export const duplicatePin = (word: string, pin: string): Complaint => ({
  code: 'DUPLICATE',
  message: `pin ${quoted(word)} is the same pin as ${quoted(pin)}, which is given already`,
});

export const emptyDocument = (): Complaint => ({
  code: 'EMPTY',
  message: 'the file holds no board',
  hint: 'a board file starts with "board: its name" and lists its parts under "parts:"',
});

export const missingKey = (key: string, title: string, doc: string | undefined): Complaint => ({
  code: 'MISSING_KEY',
  message: `${title} needs "${key}"`,
  hint: doc === undefined ? undefined : `${key}: ${doc}`,
});

export const missingPins = (kind: string, pins: readonly string[]): Complaint => ({
  code: 'MISSING_PIN',
  message: `pin${pins.length > 1 ? 's' : ''} ${pins.map(quoted).join(', ')} of ${kind} not given`,
  hint: 'a pin that goes nowhere gets a net name of its own',
});

export const missingValue = (kind: string, key: string): Complaint => ({
  code: 'MISSING_VALUE',
  message: `a ${kind} needs "${key}"`,
  hint: `for example ${key}: 4k7; where it is unknown, kind: unknown`,
});

export const jumperOnPart = (word: string, net: string | undefined): Complaint => ({
  code: 'JUMPER_ON_PART',
  message: `a jumper joins two nets, and ${quoted(word)} is ${net === undefined ? 'a part' : 'a pin'}`,
  hint: net === undefined ? 'name the net its end is on' : `did you mean its net, "${net}"?`,
});

export const kindReplaced = (word: string): Complaint => ({
  code: 'KIND_REPLACED',
  message: `kind ${quoted(word)} takes the place of the catalogue's own`,
});

export const misplacedValue = (kind: string, key: string): Complaint => ({
  code: 'MISPLACED_VALUE',
  message: `a part of kind ${kind} carries no "${key}"`,
});

export const misplacedWindings = (kind: string): Complaint => ({
  code: 'MISPLACED_VALUE',
  message: `"windings" is for parts that name their own pins, and a ${kind} does not`,
});

export const nameClash = (word: string, line: number): Complaint => ({
  code: 'NAME_CLASH',
  message: `${quoted(word)} names both a net and a part or pin (line ${line})`,
  hint: 'a reading could mean either; rename one of the two',
});

export const notMeasure = (word: string, of: 'weight' | 'length'): Complaint => ({
  code: 'BAD_VALUE',
  message: `${quoted(word)} is not ${of === 'weight' ? 'a copper weight' : 'a length'}`,
  hint: of === 'weight' ? 'for example 1 oz, 2 oz, 35 um' : 'for example 2 mm, 0.5 mm, 80 mil',
});

export const notNumber = (word: string): Complaint => ({
  code: 'BAD_VALUE',
  message: `${quoted(word)} is not a number`,
});

export const notPercent = (word: string): Complaint => ({
  code: 'BAD_VALUE',
  message: `${quoted(word)} is not a tolerance`,
  hint: 'write it with a percent sign, e.g. 1%',
});

const EXAMPLES: Readonly<Record<string, string>> = {
  ohms: '4k7, 0.005, 12m, 10 kohm',
  farads: '470u, 100n, 4u7, 22 pF',
  henries: '22u, 1m5, 10 uH',
  volts: '48, 3V3, 63 V',
  amps: '1m, 100u, 0.83 mA',
  any: '4k7, 470u, 0.005',
};

export const notQuantity = (word: string, unit: string): Complaint => ({
  code: 'BAD_VALUE',
  message: `${quoted(word)} is not a value in ${unit}`,
  hint: `for example ${EXAMPLES[unit] ?? ''}; m is milli, M is mega`,
});

export const notPositive = (word: string, unit: string): Complaint => ({
  code: 'BAD_VALUE',
  message: `${quoted(word)} must be more than zero`,
  hint: unit === 'ohms' ? 'a link of no resistance is a part of kind jumper' : undefined,
});

export const outOfRange = (word: string, least?: number, most?: number): Complaint => ({
  code: 'BAD_VALUE',
  message: `${quoted(word)} must lie ${range(least, most)}`,
});

function range(least?: number, most?: number): string {
  if (least === undefined) return `at or below ${most}`;
  return most === undefined ? `at or above ${least}` : `between ${least} and ${most}`;
}

export const railOnOneNet = (rail: string): Complaint => ({
  code: 'BAD_RAIL',
  message: `rail ${quoted(rail)} has one net for both plus and minus`,
});

export const sharesOverOne = (kind: string, sum: number): Complaint => ({
  code: 'BAD_SHARES',
  message: `the shares of kind ${quoted(kind)} add up to ${sum.toFixed(2)}, more than 1`,
});

export const pointElsewhere = (point: string, net: string, real: string): Complaint => ({
  code: 'POINT_ELSEWHERE',
  message: `${quoted(point)} is not on net ${quoted(net)} but on ${quoted(real)}`,
});

export const tooBig = (megabytes: number): Complaint => ({
  code: 'TOO_BIG',
  message: `the file is larger than ${megabytes} MB`,
});

export const unknownHeatsink = (word: string, known: Iterable<string>): Complaint => ({
  code: 'UNKNOWN_HEATSINK',
  message: `no part is on a heatsink ${quoted(word)}`,
  hint: meant(word, known),
});

export const unknownKey = (word: string, title: string, known: Iterable<string>): Complaint => ({
  code: 'UNKNOWN_KEY',
  message: `${title} has no key ${quoted(word)}`,
  hint: meant(word, known),
});

export const unknownKind = (word: string, known: Iterable<string>): Complaint => ({
  code: 'UNKNOWN_KIND',
  message: `there is no kind ${quoted(word)}`,
  hint: meant(word, known) ?? 'use kind: unknown, or add the kind under "kinds:"',
});

export const unknownNet = (word: string, isPart: boolean, known: Iterable<string>): Complaint => ({
  code: 'UNKNOWN_NET',
  message: isPart
    ? `${quoted(word)} is a part, and a net is asked for here`
    : `no part is on a net ${quoted(word)}`,
  hint: meant(word, known),
});

export const unknownPin = (word: string, of: string, known: readonly string[]): Complaint => ({
  code: 'UNKNOWN_PIN',
  message: `${of} has no pin ${quoted(word)}`,
  hint: meant(word, known) ?? `its pins are ${known.slice(0, 12).join(', ')}`,
});

export const unknownWord = (word: string, known: readonly string[]): Complaint => ({
  code: 'UNKNOWN_WORD',
  message: `${quoted(word)} is not one of ${known.join(', ')}`,
  hint: meant(word, known),
});

export const wrongLength = (found: number, asked: string): Complaint => ({
  code: 'WRONG_LENGTH',
  message: `${found} given where ${asked} expected`,
});

export const wrongType = (found: string, asked: string): Complaint => ({
  code: 'WRONG_TYPE',
  message: `${found} where ${asked} is expected`,
});
