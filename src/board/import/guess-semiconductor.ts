import type { Draft, DraftPin, Guesser, SourcePart } from './draft.ts';
import { diodeKind, isBridge, isPlainDiode, transistorKind } from './families.ts';
import { isGroundBeside, isSupply } from './net-words.ts';
import { groupByNet, netsOf, ownPins, pinHints, pinsByRole, twoEnds } from './pads.ts';
import { guessTransistorPins } from './transistor-pins.ts';

export const guessDiode: Guesser = (part, nets) => {
  const text = part.partNumber || part.value;
  if (isBridge(text) || part.letters === 'BR') return guessBridge(part, nets);
  const { kind, guess } = kindOfDiode(part);
  const guesses = guess === undefined ? [] : [guess];
  const count = netsOf(part).length;
  if (part.pins.length > 2 && count > 2)
    return guessDiodePair(part, text) ?? array(part, nets, kind);
  if (bothWays(part, kind)) {
    const ends = twoEnds(part, ['1', '2']);
    return ends && { kind: 'two-way-suppressor', pins: ends, guesses };
  }
  const { pins, doubt } = diodeEnds(part, kind);
  return pins && { kind, pins, guesses: [...guesses, ...doubt] };
};

function kindOfDiode(part: SourcePart): { kind: string; guess?: string } {
  const texts = [part.partNumber, part.value, part.description];
  if (part.told !== undefined) return { kind: part.told };
  const lamp = part.letters === 'LED' || /(^|[_-])LED/i.test(part.footprint);
  if (lamp) return { kind: 'led' };
  if (/^D_?0?(402|603|805)(_|$)/i.test(part.footprint)) {
    return { kind: 'led', guess: 'LED, from its footprint' };
  }
  for (const text of texts) {
    const kind = diodeKind(text);
    if (kind !== undefined) return { kind };
  }
  if (texts.some(isPlainDiode)) return { kind: 'diode' };
  return { kind: 'diode', guess: 'a plain diode, for want of a known part number' };
}

/** Anode and cathode by the pads' names, by net names, else cathode on pad 1 by custom. */
function diodeEnds(
  part: SourcePart,
  kind: string,
): { pins: readonly DraftPin[] | undefined; doubt: readonly string[] } {
  for (const [anode, cathode] of [
    ['A', 'K'],
    ['A', 'C'],
    ['+', '-'],
  ] as const) {
    const pins = pinsByRole(part, [
      ['A', [anode]],
      ['K', [cathode]],
    ]);
    if (pins) return { pins, doubt: [] };
  }
  const ends = twoEnds(part, ['K', 'A']);
  if (!ends) return { pins: undefined, doubt: [] };
  const [first, second] = ends;
  const asDrawn = [{ ...second }, { ...first }];
  const turned = [
    { ...first, name: 'A' },
    { ...second, name: 'K' },
  ];
  const hinted = hintedAnode(part);
  if (hinted !== undefined) return { pins: hinted === 'first' ? turned : asDrawn, doubt: [] };
  const lead = likelierCathode(kind, first.net, second.net);
  if (lead === 'first') return { pins: asDrawn, doubt: [] };
  if (lead === undefined) return { pins: asDrawn, doubt: ['cathode taken as pad 1'] };
  return { pins: turned, doubt: ['cathode taken as pad 2, from the net names'] };
}

/** An LED lights into ground or from a supply; any other diode on ground has its anode there. */
function likelierCathode(
  kind: string,
  first: string,
  second: string,
): 'first' | 'second' | undefined {
  const firstLow = isGroundBeside(first, second);
  if (firstLow || isGroundBeside(second, first)) {
    return firstLow === (kind === 'led') ? 'first' : 'second';
  }
  if (kind === 'led' && isSupply(first) !== isSupply(second))
    return isSupply(first) ? 'second' : 'first';
  return undefined;
}

function bothWays(part: SourcePart, kind: string): boolean {
  const text = part.partNumber || part.value;
  return kind === 'suppressor' && /^(SM|P[46]K|1\.5KE).*CA|^PGB|-T\d+C$|BIDIR/i.test(text);
}

function hintedAnode(part: SourcePart): 'first' | 'second' | undefined {
  const first = groupByNet(part)[0] ?? [];
  for (const [pad, hint] of pinHints(part)) {
    if (hint !== 'A' && hint !== 'K') continue;
    const onFirst = first.some((pin) => pin.name === pad);
    return (hint === 'A') === onFirst ? 'first' : 'second';
  }
  return undefined;
}

/** Two diodes in one three-legged package, by the ending of the part number. */
function guessDiodePair(part: SourcePart, text: string): Draft | undefined {
  const number = text.toUpperCase().replace(/[,\s].*$/, '');
  const kinds: readonly (readonly [RegExp, string, readonly [string, string, string]])[] = [
    [
      /^(BAT54C|BAV70|BAS\d+-05|BAT\d+-05|BAS40C|MMBD2837|BAV74)/,
      'diode-pair-common-cathode',
      ['A1', 'A2', 'K'],
    ],
    [/^(BAT54A|BAW56|BAS\d+-06|BAT\d+-06|MMBD2838)/, 'diode-pair-common-anode', ['K1', 'K2', 'A']],
    [/^(BAT54S|BAV99|BAS\d+-04|BAT\d+-04|MMBD7000)/, 'diode-pair-in-series', ['A', 'K', 'MID']],
  ];
  const found = kinds.find(([pattern]) => pattern.test(number));
  if (!found) return undefined;
  const [, kind, names] = found;
  const pins = pinsByRole(
    part,
    names.map((name, at) => [name, [String(at + 1)]] as const),
  );
  return pins && { kind, pins, guesses: [`pads 1, 2, 3 taken as ${names.join(', ')}`] };
}

function array(part: SourcePart, nets: Parameters<Guesser>[1], kind: string): Draft {
  return {
    kind: 'ic',
    pins: ownPins(part, nets),
    guesses: [`several ${kind === 'led' ? 'LEDs' : 'diodes'} in one package, kept as one block`],
  };
}

const guessBridge: Guesser = (part, nets) => {
  for (const pads of [
    ['+', '-', '~1', '~2'],
    ['+', '-', 'AC1', 'AC2'],
    ['P', 'N', 'AC1', 'AC2'],
  ]) {
    const named = pinsByRole(part, roles(pads));
    if (named) return { kind: 'bridge-rectifier', pins: named, guesses: [] };
  }
  // In-line packages run + ~ ~ −, dual-in-line ones + − ~ ~ in the order of their numbers.
  const inLine = /KB|GB|SIP|SINGLE/i.test(`${part.value} ${part.footprint}`);
  const order = inLine ? ['1', '4', '2', '3'] : ['1', '2', '3', '4'];
  const pins = pinsByRole(part, roles(order));
  if (pins) {
    return {
      kind: 'bridge-rectifier',
      pins,
      guesses: [`pads ${order.join(', ')} taken as plus, minus, AC, AC`],
    };
  }
  return {
    kind: 'ic',
    pins: ownPins(part, nets),
    guesses: ['a bridge rectifier with unusual pads'],
  };
};

function roles(pads: readonly string[]): (readonly [string, readonly string[]])[] {
  return ['plus', 'minus', 'AC1', 'AC2'].map((role, at) => [role, [pads[at] ?? '']] as const);
}

export const guessTransistor: Guesser = (part, nets) => {
  const text = part.partNumber || part.value;
  const known = part.told ?? transistorKind(part.partNumber) ?? transistorKind(part.value);
  const hints = [...pinHints(part).values()];
  const base = known ?? (hints.some((hint) => hint === 'B') ? 'npn' : 'n-mosfet');
  const result =
    known === undefined && isSeveral(part) ? undefined : guessTransistorPins(part, base);
  if (result) {
    const doubt = known === undefined ? [`${base}, for want of a known part number`] : [];
    return { ...result, guesses: [...doubt, ...result.guesses] };
  }
  const name = text === '' ? 'a transistor' : text;
  return {
    kind: 'ic',
    pins: ownPins(part, nets),
    guesses: [`${name}: its pads do not fit one transistor, kept as one block`],
  };
};

/** More pads than one transistor has, and no group of them that could be a power pin. */
function isSeveral(part: SourcePart): boolean {
  return part.pins.length > 4 && groupByNet(part).every((group) => group.length < 3);
}
