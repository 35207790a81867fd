import type { Draft, Guesser, SourcePart } from './draft.ts';
import { isOptocoupler, isRegulator } from './families.ts';
import { isGround, supplyVolts } from './net-words.ts';
import { groupByNet, mergePins, ownPins, pinHints, pinsByRole } from './pads.ts';

/** A kind that names its own pins, with what is not sure about it. */
export function block(kind: string, ...guesses: string[]): Guesser {
  return (part, nets) => ({ kind, pins: ownPins(part, nets), guesses });
}

export const guessChip: Guesser = (part, nets) => {
  const text = part.partNumber || part.value;
  if (isOptocoupler(text)) {
    const opto = guessOptocoupler(part);
    if (opto) return opto;
  }
  if (isRegulator(text)) {
    const regulator = guessRegulator(part);
    if (regulator) return regulator;
  }
  return { kind: 'ic', pins: ownPins(part, nets), guesses: [] };
};

function guessOptocoupler(part: SourcePart): Draft | undefined {
  const order = part.pins.length === 4 ? ['1', '2', '4', '3'] : ['1', '2', '5', '4'];
  const names = ['A', 'K', 'C', 'E'];
  const pins = pinsByRole(
    part,
    names.map((name, at) => [name, [order[at] ?? '']] as const),
  );
  return (
    pins && { kind: 'optocoupler', pins, guesses: [`pads ${order.join(', ')} taken as A, K, C, E`] }
  );
}

/** Ground by the net's name, then input and output by their voltages, else by the part's custom. */
function guessRegulator(part: SourcePart): Draft | undefined {
  const groups = groupByNet(part);
  if (groups.length !== 3) return undefined;
  const hints = pinHints(part);
  const ground = groups.findIndex((group) =>
    group.some((pin) => isGround(pin.net ?? '') || /^(GND|ADJ)$/.test(hints.get(pin.name) ?? '')),
  );
  // With an adjust leg on a divider there is no ground; those run adjust, output, input.
  const gnd = groups[ground < 0 ? 0 : ground];
  const [first, second] = groups.filter((group) => group !== gnd);
  if (!gnd || !first || !second) return undefined;
  const volts = [first, second].map((group) => supplyVolts(group[0]?.net ?? ''));
  const [a, b] = volts;
  const known = a !== undefined && b !== undefined && a !== b;
  const groundFirst = gnd === groups[0];
  const inputFirst = known ? a > b : !groundFirst;
  const [input, output] = inputFirst ? [first, second] : [second, first];
  const pins = [
    mergePins(part, 'IN', input),
    mergePins(part, 'GND', gnd),
    mergePins(part, 'OUT', output),
  ];
  const sure = known && ground >= 0;
  return { kind: 'regulator', pins, guesses: sure ? [] : ['which leg is input, which output'] };
}

/** A crystal has two live pads; a resonator or a can adds ground; an oscillator has a supply. */
export const guessCrystal: Guesser = (part, nets) => {
  const live = groupByNet(part).filter(([pin]) => !isGround(pin?.net ?? ''));
  const [first, second] = live;
  if (live.length === 2 && first && second && !/OSCILL/i.test(part.footprint)) {
    const pins = [mergePins(part, '1', first), mergePins(part, '2', second)];
    return { kind: 'crystal', pins, guesses: [] };
  }
  return { kind: 'ic', pins: ownPins(part, nets), guesses: ['an oscillator, kept as one block'] };
};

export const guessTestPoint: Guesser = (part, nets) => {
  const [pads, ...others] = groupByNet(part);
  if (!pads || others.length > 0) return block('connector')(part, nets);
  return { kind: 'test-point', pins: [mergePins(part, '1', pads)], guesses: [] };
};
