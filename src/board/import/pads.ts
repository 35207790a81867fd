import { roundMm } from './collect-pins.ts';
import type { DraftPin, NetFacts, SourcePart } from './draft.ts';
import type { NetlistPin } from './netlist.ts';

/** Turning the pads of a footprint into the pins of a kind. */

/** Pins that touch something. */
export function connectedPins(part: SourcePart): (NetlistPin & { readonly net: string })[] {
  return part.pins.filter((pin): pin is NetlistPin & { net: string } => pin.net !== undefined);
}

export function netsOf(part: SourcePart): string[] {
  return [...new Set(connectedPins(part).map((pin) => pin.net))];
}

/**
 * The two ends of a two-terminal part, named as asked. Pads beyond two are merged by net. Undefined
 * when there are more than two nets or fewer than two pads.
 */
export function twoEnds(
  part: SourcePart,
  names: readonly [string, string],
): readonly [DraftPin, DraftPin] | undefined {
  const groups = part.pins.length === 2 ? part.pins.map((pin) => [pin]) : groupByNet(part);
  const [first, second, ...rest] = groups;
  if (!first || !second || rest.length > 0) return undefined;
  return [mergePins(part, names[0], first), mergePins(part, names[1], second)];
}

/**
 * Pins of a kind from lists of pad names. Undefined when a pad is missing, when the pads of one
 * role lie on several nets, or when pads with a net are left over.
 */
export function pinsByRole(
  part: SourcePart,
  roles: readonly (readonly [role: string, pads: readonly string[]])[],
): readonly DraftPin[] | undefined {
  const byName = pinsNamed(part, roles, (pin) => pin.name);
  if (byName || part.pins.every((pin) => pin.role === undefined)) return byName;
  return pinsNamed(part, roles, (pin) => pin.role ?? pin.name);
}

function pinsNamed(
  part: SourcePart,
  roles: readonly (readonly [role: string, pads: readonly string[]])[],
  nameOf: (pin: NetlistPin) => string,
): readonly DraftPin[] | undefined {
  const left = new Map(part.pins.map((pin) => [nameOf(pin).toUpperCase(), pin]));
  const pins: DraftPin[] = [];
  for (const [role, names] of roles) {
    const pads = names.flatMap((name) => left.get(name.toUpperCase()) ?? []);
    for (const name of names) left.delete(name.toUpperCase());
    if (pads.length !== names.length || pads.length === 0) return undefined;
    if (new Set(pads.flatMap((pad) => pad.net ?? [])).size > 1) return undefined;
    pins.push(mergePins(part, role, pads));
  }
  // A tab or a doubled leg may add pads on nets that have a role already.
  const placed = new Set(pins.map((pin) => pin.net));
  const stray = [...left.values()].some((pad) => pad.net !== undefined && !placed.has(pad.net));
  return stray ? undefined : pins;
}

/** The pads under their own names; those that touch no other part are left out. */
export function ownPins(part: SourcePart, nets: NetFacts): readonly DraftPin[] {
  return connectedPins(part)
    .filter((pin) => nets.pinCount(pin.net) > 1)
    .map((pin) => mergePins(part, pin.name, [pin]));
}

/** Pads grouped by net, in the order of their first pad. */
export function groupByNet(part: SourcePart): NetlistPin[][] {
  const groups = new Map<string, NetlistPin[]>();
  for (const pin of connectedPins(part)) {
    const group = groups.get(pin.net);
    if (group) group.push(pin);
    else groups.set(pin.net, [pin]);
  }
  return [...groups.values()];
}

/** One pin made of several pads of one net; a pad without a net gets one of its own. */
export function mergePins(part: SourcePart, name: string, pads: readonly NetlistPin[]): DraftPin {
  const net = pads.find((pad) => pad.net !== undefined)?.net ?? `NC_${part.name}_${name}`;
  const places = pads.flatMap((pad) => (pad.at ? [pad.at] : []));
  if (places.length === 0) return { name, net };
  const x = places.reduce((sum, [value]) => sum + value, 0) / places.length;
  const y = places.reduce((sum, [, value]) => sum + value, 0) / places.length;
  return { name, net, at: [roundMm(x), roundMm(y)] };
}

/** Names of pins that say what they do, in place of a number. */
const SUPPLY_LEGS = /^(V?IN|VI|V?OUT|VO|GND|ADJ)$/;

/**
 * What made-up net names tell of a part's pins: on net `Net-(Q3-G)` the pad of Q3 is its `G`; and what
 * the netlist itself says of a pin beside its number.
 * @returns pad name → pin name, upper case
 */
export function pinHints(part: SourcePart): ReadonlyMap<string, string> {
  const hints = new Map<string, string>();
  for (const pin of connectedPins(part)) {
    const role = (pin.role ?? pin.name).toUpperCase();
    if (pin.role !== undefined || SUPPLY_LEGS.test(role)) {
      hints.set(pin.name, role);
      continue;
    }
    const match = /(?:\(|^)([A-Z]+\d+)[A-Z]?-([^()]+)\)/i.exec(pin.net.slice(0, 200));
    const hint = match?.[2]?.toUpperCase().replace(/-PAD.*$/, '') ?? '';
    if (match?.[1]?.toUpperCase() !== part.name.toUpperCase()) continue;
    if (hint !== '' && !hint.startsWith('PAD') && !/^\d/.test(hint)) hints.set(pin.name, hint);
  }
  return hints;
}
