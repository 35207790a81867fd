import { diodeKind, transistorKind } from '../families.ts';
import type { Feed, NetlistPart, NetlistPin, PartFacts } from '../netlist.ts';
import { writeQuantity } from '../value-text.ts';
import type { Joined } from './element-nodes.ts';
import { designatorIn } from './names.ts';
import type { Element, Model } from './scope.ts';
import { type Parameters, spiceNumber } from './values.ts';

/** A part without the name it will have. */
type Made = PartFacts & { readonly pins: readonly NetlistPin[] };

/** The part an element stands for. */
export function elementPart(
  element: Element,
  joined: Joined,
  parameters: Parameters,
): { facts: Omit<NetlistPart, 'name' | 'line'>; isBodyLeftOut: boolean } {
  const letter = element.name.charAt(0).toUpperCase();
  const { pins, isBodyLeftOut } = legsOf(joined.pins);
  const facts: Made = { pins, ...factsOf(letter, joined, parameters) };
  const doubts = [...joined.doubts, ...(facts.doubts ?? [])];
  return { facts: { ...facts, ...(doubts.length === 0 ? {} : { doubts }) }, isBodyLeftOut };
}

/** A body or a substrate is no leg of a part: as a rule it is joined to the source within it. */
function legsOf(pins: Joined['pins']): { pins: NetlistPin[]; isBodyLeftOut: boolean } {
  const legs = pins.filter(([name]) => name !== 'body' && name !== 'substrate');
  const inner = pins.find(([name]) => name === 'body');
  const source = pins.find(([name]) => name === 'S');
  return {
    pins: legs.map(([name, net]) => ({ name, net, pads: 1 })),
    isBodyLeftOut: inner !== undefined && inner[1] !== source?.[1],
  };
}

function factsOf(letter: string, joined: Joined, parameters: Parameters): PartFacts {
  if ('RCL'.includes(letter))
    return { letters: letter, ...writtenValue(letter, joined, parameters) };
  if (letter === 'D')
    return { letters: 'D', value: numberIn(joined.what), ...diodeFacts(joined.model) };
  if (letter === 'Q' || letter === 'M')
    return { letters: 'Q', value: numberIn(joined.what), ...transistorFacts(joined) };
  if (letter === 'V') return sourceFacts(joined, parameters);
  if (letter === 'I')
    return {
      told: 'connector',
      doubts: ['a current source in the deck: a load or a signal from outside'],
    };
  if (letter === 'J' || letter === 'Z') {
    return {
      told: 'unknown',
      value: joined.what,
      doubts: ['a junction FET: its channel conducts without power, which no kind here says'],
    };
  }
  return { told: 'unknown', doubts: ['a formula of the simulator in place of a part'] };
}

/** Libraries put the letter of the element before the number of the part: `D1N4148`, `Q2N3904`. */
function numberIn(model: string): string {
  return model.replace(/^[DQMJ](?=[12][NS]\d)/i, '');
}

/** Written so that the value reads back the same whatever the deck's suffixes mean. */
function writtenValue(letter: string, joined: Joined, parameters: Parameters): PartFacts {
  const keys = { R: /^R(ES)?=|^VALUE=/i, C: /^C(AP)?=|^VALUE=/i, L: /^L=|^VALUE=/i }[letter];
  const words = [joined.what, ...joined.rest];
  const keyed = words.find((word) => keys?.test(word))?.replace(/^[^=]*=/, '');
  const candidates =
    keyed === undefined ? words.filter((word) => !word.includes('=')).slice(0, 2) : [keyed];
  for (const word of candidates) {
    const value = parameters.value(word);
    if (value === undefined || value < 0 || (value === 0 && letter !== 'R')) continue;
    return { value: value > 0 && (value < 1e-15 || value > 1e12) ? '' : writeQuantity(value) };
  }
  return { value: joined.what };
}

/** A diode of the deck with a breakdown in a zener's range is one. */
const ZENER_VOLTS = 80;

function diodeFacts(model: Model | undefined): PartFacts {
  if (model?.type !== 'D' || model.breakdown === undefined || model.breakdown > ZENER_VOLTS)
    return {};
  return { told: 'zener', doubts: [`a zener, from its breakdown at ${model.breakdown} V`] };
}

function transistorFacts({ model }: Joined): PartFacts {
  const kinds: Readonly<Record<string, string>> = {
    NPN: 'npn',
    PNP: 'pnp',
    NMOS: 'n-mosfet',
    PMOS: 'p-mosfet',
    NIGBT: 'igbt',
  };
  if (!model) return {};
  if (model.type === 'VDMOS') return { told: model.isPChannel ? 'p-mosfet' : 'n-mosfet' };
  const told = Object.hasOwn(kinds, model.type) ? kinds[model.type] : undefined;
  return told === undefined ? {} : { told };
}

const WAVE = /^(AC|SIN|SINE|PULSE|PWL|EXP|SFFM|AM|PAT|WAVEFILE)/i;

/** A source of 0 V away from ground is an ammeter, and on the board a wire. */
function sourceFacts(joined: Joined, parameters: Parameters): PartFacts {
  const words = [joined.what, ...joined.rest];
  const isWire =
    steadyVolts(words, parameters) === 0 &&
    !words.some((word) => WAVE.test(word)) &&
    joined.pins.every(([, net]) => net !== 'GND');
  if (isWire)
    return { told: 'jumper', doubts: ['a source of 0 V, as ammeters are drawn: taken as a wire'] };
  return {
    told: 'connector',
    doubts: ['a voltage source in the deck: where a supply or a signal comes in'],
  };
}

function steadyVolts(words: readonly string[], parameters: Parameters): number | undefined {
  const [first = '', second = ''] = words;
  return parameters.value(/^DC$/i.test(first) ? second : first.replace(/^DC=/i, ''));
}

/** What a source with a steady voltage feeds. */
export function feedOf(
  part: string,
  pins: Joined['pins'],
  element: Element,
  parameters: Parameters,
): Feed | undefined {
  if (!/^v/i.test(element.name)) return undefined;
  const [plus, minus] = pins;
  const volts = steadyVolts(element.words.slice(2), parameters);
  if (!plus || !minus || volts === undefined || volts === 0 || plus[1] === minus[1])
    return undefined;
  return volts > 0
    ? { part, plus: plus[1], minus: minus[1], volts }
    : { part, plus: minus[1], minus: plus[1], volts: -volts };
}

/** Orders of the ports of models by custom, where the ports are only numbered. */
const CUSTOM: Readonly<Record<string, readonly string[]>> = {
  'n-mosfet': ['D', 'G', 'S'],
  'p-mosfet': ['D', 'G', 'S'],
  npn: ['C', 'B', 'E'],
  pnp: ['C', 'B', 'E'],
  igbt: ['C', 'G', 'E'],
  scr: ['A', 'G', 'K'],
  diode: ['A', 'K'],
};

/** The words of ports for legs of transistors and diodes. */
const LEGS: Readonly<Record<string, string>> = {
  DRAIN: 'D',
  GATE: 'G',
  SOURCE: 'S',
  COLLECTOR: 'C',
  BASE: 'B',
  EMITTER: 'E',
  ANODE: 'A',
  CATHODE: 'K',
  CATH: 'K',
  KATHODE: 'K',
};

/**
 * The part a call stands for whose subcircuit is the model of a part: its pins are the ports, in
 * the order in which the call joins them.
 */
export function devicePart(
  name: string,
  called: string,
  ports: readonly string[],
  nets: readonly string[],
  isDefined: boolean,
): Omit<NetlistPart, 'name' | 'line'> {
  const isDiode = ports.length === 2 && diodeKind(name) !== undefined;
  const kind = isDiode ? 'diode' : ports.length === 3 ? transistorKind(name) : undefined;
  const isNumbered = ports.every((port) => spiceNumber(port) !== undefined);
  const custom = isNumbered && kind !== undefined ? CUSTOM[kind] : undefined;
  const names = custom ?? distinct(ports.map((port) => LEGS[port.toUpperCase()] ?? port));
  const doubts: string[] = [];
  if (custom)
    doubts.push(
      `ports ${ports.join(', ')} of its model taken as ${custom.join(', ')}, the usual order`,
    );
  else if (!isDefined || isNumbered)
    doubts.push('its pins are numbered as its model has them, not as its case has');
  const letters = isDiode ? 'D' : kind === undefined ? 'U' : 'Q';
  return {
    value: name,
    // `X1` says no more than that it is a call.
    ...(designatorIn(called) === called ? { letters } : {}),
    pins: names.map((pin, at) => ({ name: pin, net: nets[at], pads: 1 })),
    ...(doubts.length === 0 ? {} : { doubts }),
  };
}

function distinct(names: readonly string[]): readonly string[] {
  const upper = names.map((name) => name.toUpperCase());
  return new Set(upper).size === upper.length
    ? names
    : names.map((name, at) => `${name}_${at + 1}`);
}
