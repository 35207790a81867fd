import type { Draft, Guesser, SourcePart } from './draft.ts';
import { isOptocoupler, isRegulator } from './families.ts';
import { isGround, supplyVolts } from './net-words.ts';
import type { NetlistPin } from './netlist.ts';
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
  const gnd = groups[Math.max(ground, 0)];
  const [first, second] = groups.filter((group) => group !== gnd);
  if (!gnd || !first || !second) return undefined;
  const told = inputFirst(part, first, second);
  // Without more to go by: those with ground on pad 1 run ground, output, input; others input first.
  const [input, output] = (told ?? gnd !== groups[0]) ? [first, second] : [second, first];
  const pins = [
    mergePins(part, 'IN', input),
    mergePins(part, 'GND', gnd),
    mergePins(part, 'OUT', output),
  ];
  const sure = told !== undefined && ground >= 0;
  return { kind: 'regulator', pins, guesses: sure ? [] : ['which leg is input, which output'] };
}

/** True when the first group is the input, by pin hints, voltages or the part's own figure. */
function inputFirst(
  part: SourcePart,
  first: readonly NetlistPin[],
  second: readonly NetlistPin[],
): boolean | undefined {
  const hints = pinHints(part);
  const hinted = (group: readonly NetlistPin[], pattern: RegExp): boolean =>
    group.some((pin) => pattern.test(hints.get(pin.name) ?? ''));
  if (hinted(first, /^(V?IN|VI)$/) || hinted(second, /^(V?OUT|VO)$/)) return true;
  if (hinted(second, /^(V?IN|VI)$/) || hinted(first, /^(V?OUT|VO)$/)) return false;
  const a = supplyVolts(first[0]?.net ?? '');
  const b = supplyVolts(second[0]?.net ?? '');
  if (a !== undefined && b !== undefined) return a === b ? undefined : a > b;
  const text = part.partNumber || part.value;
  if (b !== undefined && statesVolts(text, b)) return true;
  return a !== undefined && statesVolts(text, a) ? false : undefined;
}

/** `7805`, `HT7550`, `AMS1117-3.3` state 5, 5 and 3.3 V. */
function statesVolts(text: string, volts: number): boolean {
  const tenths = String(Math.round(volts * 10)).padStart(2, '0');
  const whole = Number.isInteger(volts) ? String(volts).padStart(2, '0') : String(volts);
  return [tenths, whole].some((figure) => text.slice(2).includes(figure));
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
