import type { Draft, DraftPin, SourcePart } from './draft.ts';
import type { NetlistPin } from './netlist.ts';
import { connectedPins, groupByNet, mergePins, pinHints, pinsByRole } from './pads.ts';

type Order = readonly [string, string, string];

/** Legs 1, 2, 3 of each package, by kind; the first pattern that fits counts. */
const ORDERS: Readonly<Record<string, readonly (readonly [RegExp, Order])[]>> = {
  mosfet: [
    [
      /SOT-?23(?!-?[568])|SOT-?323|SC-?70(?!-?[56])|SC-?59|SOT-?416|SOT-?523|SOT-?723|MICRO3/i,
      ['G', 'S', 'D'],
    ],
    [/TO-?92/i, ['S', 'G', 'D']],
    [/./, ['G', 'D', 'S']],
  ],
  bipolar: [
    [
      /SOT-?23(?!-?[568])|SOT-?323|SC-?70(?!-?[56])|SC-?59|SOT-?416|SOT-?523|SOT-?723/i,
      ['B', 'E', 'C'],
    ],
    [/TO-?92/i, ['C', 'B', 'E']],
    [/TO-?126|SOT-?32$|TO-?225/i, ['E', 'C', 'B']],
    [/./, ['B', 'C', 'E']],
  ],
  igbt: [[/./, ['G', 'C', 'E']]],
  scr: [
    [/TO-?92/i, ['K', 'G', 'A']],
    [/./, ['K', 'A', 'G']],
  ],
  triac: [
    [/TO-?92/i, ['T2', 'G', 'T1']],
    [/./, ['T1', 'T2', 'G']],
  ],
};

const FAMILY: Readonly<Record<string, string>> = {
  'n-mosfet': 'mosfet',
  'p-mosfet': 'mosfet',
  npn: 'bipolar',
  pnp: 'bipolar',
};

const KIND_PINS: Readonly<Record<string, Order>> = {
  mosfet: ['G', 'D', 'S'],
  bipolar: ['B', 'C', 'E'],
  igbt: ['G', 'C', 'E'],
  scr: ['G', 'A', 'K'],
  triac: ['G', 'T1', 'T2'],
};

/** Pins of a transistor or thyristor of a given kind; undefined when its pads do not fit one. */
export function guessTransistorPins(part: SourcePart, kind: string): Draft | undefined {
  const family = FAMILY[kind] ?? kind;
  const names = KIND_PINS[family];
  if (!names) return undefined;
  const named = pinsByRole(
    part,
    names.map((name) => [name, [name]] as const),
  );
  if (named) return { kind, pins: named, guesses: [] };
  const hinted = byHints(part, names);
  if (hinted) return { kind, pins: hinted, guesses: [] };
  const numbers = connectedPins(part).filter((pin) => /^\d+$/.test(pin.name));
  if (family === 'mosfet' && numbers.length > 4) return powerPackage(part, kind);
  return byPackage(part, kind, family);
}

/** Two legs told by net names leave the third; a leg alone must not contradict the usual order. */
function byHints(part: SourcePart, names: Order): readonly DraftPin[] | undefined {
  const groups = groupByNet(part);
  if (groups.length !== 3) return undefined;
  const hints = pinHints(part);
  const roles = groups.map((group) =>
    group
      .map((pin) => hints.get(pin.name))
      .find((hint) => hint !== undefined && names.includes(hint)),
  );
  const left = names.filter((name) => !roles.includes(name));
  if (left.length > 1 || new Set(roles).size !== 3) return undefined;
  return names.flatMap((name) => {
    const group = groups[roles.indexOf(name) >= 0 ? roles.indexOf(name) : roles.indexOf(undefined)];
    return group ? [mergePins(part, name, group)] : [];
  });
}

function byPackage(part: SourcePart, kind: string, family: string): Draft | undefined {
  const orders = ORDERS[family] ?? [];
  let order = orders.find(([pattern]) => pattern.test(part.footprint || 'unknown'))?.[1];
  if (!order) return undefined;
  if (family === 'bipolar' && /TO-?92/i.test(part.footprint) && !/^(BC|BD)/i.test(part.value)) {
    order = ['E', 'B', 'C'];
  }
  const hints = pinHints(part);
  if (/HSOF|TOLL(?!E)/i.test(part.footprint) && family === 'mosfet') order = ['G', 'S', 'D'];
  const usual = tabAsDrain(part, order);
  order = usual;
  if (usual.some((role, at) => (hints.get(String(at + 1)) ?? role) !== role))
    order = turned(usual, hints);
  const roles = order.map((role, at) => [role, [String(at + 1)]] as const);
  const pins = pinsByRole(part, roles) ?? byGroups(part, order);
  if (!pins) return undefined;
  const where = part.footprint === '' ? 'its package is not known' : `usual for ${part.footprint}`;
  const order1 = `pads 1, 2, 3 taken as ${order.join(', ')}, ${where}`;
  const sure = [...hints.values()].filter((hint) => order.includes(hint)).length > 1;
  return { kind, pins: inOrder(pins, family), guesses: sure ? [] : [order1] };
}

/** A pad made of far more pads than the others is the tab, and the tab is the drain. */
function tabAsDrain(part: SourcePart, order: Order): Order {
  const at = order.indexOf('D');
  const counts = ['1', '2', '3'].map(
    (name) => part.pins.find((pin) => pin.name === name)?.pads ?? 1,
  );
  const tab = counts.findIndex((count, i) =>
    counts.every((other, j) => i === j || count >= 4 * other),
  );
  if (at < 0 || tab < 0 || tab === at) return order;
  const [first, second, third] = order.with(at, order[tab] ?? '').with(tab, 'D');
  return [first ?? '', second ?? '', third ?? ''];
}

/** The first rotation or swap of the usual order that agrees with what the nets tell. */
function turned(order: Order, hints: ReadonlyMap<string, string>): Order {
  const [a, b, c] = order;
  const all: readonly Order[] = [
    [a, c, b],
    [c, b, a],
    [b, a, c],
    [b, c, a],
    [c, a, b],
  ];
  const fits = (o: Order): boolean =>
    o.every((role, at) => {
      const hint = hints.get(String(at + 1));
      return hint === undefined || !order.includes(hint) || hint === role;
    });
  return all.find(fits) ?? order;
}

/** Pads that are not numbered 1 to 3 (a tab as pad 2, or names): by their order. */
function byGroups(part: SourcePart, order: Order): readonly DraftPin[] | undefined {
  const groups = groupByNet(part);
  if (groups.length !== 3) return undefined;
  return groups.map((group, at) => mergePins(part, order[at] ?? '', group));
}

/** Pads of one net, and the highest number among them. */
interface Group {
  readonly pads: readonly NetlistPin[];
  readonly last: number;
}

/**
 * Power packages with many pads: one pad is the gate, the group with the last number (the tab or
 * the drain side) is the drain, the other the source. A fourth net on one pad beside the gate is a
 * sense lead of the source.
 */
function powerPackage(part: SourcePart, kind: string): Draft | undefined {
  const groups: Group[] = groupByNet(part).map((pads) => ({
    pads,
    last: Math.max(...pads.map((pad) => Number(pad.name) || 0)),
  }));
  const tab = /TO-?263-7|D2PAK-7/i.test(part.footprint)
    ? groups.find(({ pads }) => pads.length === 1 && pads[0]?.name === '4')
    : undefined;
  const drain = tab ?? groups.reduce((best, group) => (group.last > best.last ? group : best));
  const rest = groups.filter((group) => group !== drain);
  const singles = rest.filter((group) => group.pads.length === 1);
  const onPad = (name: string): Group | undefined =>
    singles.find(({ pads }) => pads[0]?.name === name);
  // Six-legged packages have the drain on four legs, the gate on 3 and the source on 4.
  const small = rest.length === 2 && singles.length === 2;
  const gate = small ? onPad('3') : (onPad('1') ?? onPad('4') ?? singles[0]);
  const source = small ? onPad('4') : rest.find((group) => group.pads.length > 1);
  if (!source || !gate || groups.length > 4) return undefined;
  const pins = [
    mergePins(part, 'G', gate.pads),
    mergePins(part, 'D', drain.pads),
    mergePins(part, 'S', source.pads),
  ];
  const list = `pad ${padNames(gate.pads)} taken as G, ${padNames(drain.pads)} as D, ${padNames(source.pads)} as S`;
  if (groups.length === 3) return { kind, pins, guesses: [list] };
  const sense = singles.find((group) => group !== gate);
  if (!sense || kind !== 'n-mosfet') return undefined;
  return {
    kind: 'n-mosfet-with-sense-lead',
    pins: [...pins, mergePins(part, 'SS', sense.pads)],
    guesses: [`${list}, ${padNames(sense.pads)} as a second lead of the source`],
  };
}

function padNames(pads: readonly { readonly name: string }[]): string {
  return pads.map((pad) => pad.name).join('+');
}

function inOrder(pins: readonly DraftPin[], family: string): readonly DraftPin[] {
  const names: readonly string[] = KIND_PINS[family] ?? [];
  return pins.toSorted((a, b) => names.indexOf(a.name) - names.indexOf(b.name));
}
