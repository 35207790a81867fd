import { isObjectWord } from '../names.ts';
import type { ImportedPart, ProposedRail } from './imported.ts';
import {
  isGround,
  isMadeUp,
  isMinus,
  isOnlyPlus,
  isSupply,
  lastSegment,
  otherPole,
  supplyVolts,
} from './net-words.ts';
import type { Feed } from './netlist.ts';

/** What speaks for a pair of nets being a rail: parts that sit across supplies. */
interface Link {
  capacitors: number;
  electrolytics: number;
  clamps: number;
}

/** Capacitors that alone make a rail of two nets whose names say nothing. */
const TELLING_CAPACITORS = 3;

/** Pins that alone make a rail of a net named as a supply. */
const TELLING_PINS = 3;

/** The same for names with nothing but a plus or a voltage in them, which signals have too. */
const MANY_PINS = 6;

/**
 * Proposes rails: nets named like supplies, or backed by capacitors like them, each against the
 * ground it shares most of those capacitors with. A board with several isolated sides has several
 * grounds, and each rail finds its own.
 */
export function proposeRails(
  parts: readonly ImportedPart[],
  feeds: readonly Feed[] = [],
): ProposedRail[] {
  const links = gatherLinks(parts);
  const pins = countPins(parts);
  const grounds = findGrounds(links, pins);
  const rails: ProposedRail[] = [];
  const taken = new Set<string>();
  const fed = new Set<string>();
  for (const feed of feeds) {
    const rail = fedRail(feed, pins, grounds);
    if (!rail || fed.has(rail.plus) || fed.has(rail.minus)) continue;
    fed.add(grounds.has(rail.plus) ? rail.minus : rail.plus);
    rails.push({ ...rail, name: uniqueName(railName(rail), taken) });
  }
  for (const net of pins.keys()) {
    if (grounds.has(net) || fed.has(net)) continue;
    const rail = proposeRail(net, links, pins, grounds);
    if (rail) rails.push({ ...rail, name: uniqueName(railName(rail), taken) });
  }
  return rails.toSorted((a, b) => (pins.get(b.plus) ?? 0) - (pins.get(a.plus) ?? 0));
}

/** A source of the netlist onto a ground, unless only it stands there. */
function fedRail(
  { part, plus, minus, volts }: Feed,
  pins: ReadonlyMap<string, number>,
  grounds: ReadonlySet<string>,
): ProposedRail | undefined {
  const isOnBoard = (pins.get(plus) ?? 0) > 2 && (pins.get(minus) ?? 0) > 2;
  if (!isOnBoard || grounds.has(plus) === grounds.has(minus)) return undefined;
  return { name: '', plus, minus, volts, reason: `${part} feeds it with ${volts} V` };
}

type Links = ReadonlyMap<string, ReadonlyMap<string, Link>>;

function gatherLinks(parts: readonly ImportedPart[]): Links {
  const links = new Map<string, Map<string, Link>>();
  const linkOf = (a: string, b: string): Link => {
    let row = links.get(a);
    if (!row) {
      row = new Map();
      links.set(a, row);
    }
    let link = row.get(b);
    if (!link) {
      link = { capacitors: 0, electrolytics: 0, clamps: 0 };
      row.set(b, link);
    }
    return link;
  };
  for (const part of parts) {
    const field = LINKING.get(part.kind);
    const [a, b] = part.pins;
    if (!field || !a || !b || a.net === b.net) continue;
    linkOf(a.net, b.net)[field] += 1;
    linkOf(b.net, a.net)[field] += 1;
  }
  return links;
}

const LINKING: ReadonlyMap<string, keyof Link> = new Map([
  ['ceramic', 'capacitors'],
  ['film', 'capacitors'],
  ['electrolytic', 'electrolytics'],
  ['tantalum', 'electrolytics'],
  ['zener', 'clamps'],
  ['suppressor', 'clamps'],
  ['varistor', 'clamps'],
]);

function countPins(parts: readonly ImportedPart[]): Map<string, number> {
  const counts = new Map<string, number>();
  for (const part of parts) {
    for (const pin of part.pins) counts.set(pin.net, (counts.get(pin.net) ?? 0) + 1);
  }
  return counts;
}

/** Nets named as grounds, nets marked minus with capacitors on them, else the busiest net. */
function findGrounds(links: Links, pins: ReadonlyMap<string, number>): ReadonlySet<string> {
  const named = [...pins.keys()].filter((net) => isGround(net));
  const minus = [...pins.keys()].filter(
    (net) => !isGround(net) && isMinus(net) && totalWeight(links.get(net)) >= TELLING_CAPACITORS,
  );
  if (named.length + minus.length > 0) return new Set([...named, ...minus]);
  const busiest = [...pins.keys()].reduce<string | undefined>(
    (best, net) => (totalWeight(links.get(net)) > totalWeight(links.get(best ?? '')) ? net : best),
    undefined,
  );
  return new Set(busiest === undefined ? [] : [busiest]);
}

function totalWeight(row: ReadonlyMap<string, Link> | undefined): number {
  let sum = 0;
  for (const link of row?.values() ?? []) sum += weightOf(link);
  return sum;
}

function weightOf(link: Link): number {
  return link.capacitors + 3 * link.electrolytics + link.clamps;
}

function proposeRail(
  net: string,
  links: Links,
  pins: ReadonlyMap<string, number>,
  grounds: ReadonlySet<string>,
): ProposedRail | undefined {
  const named = isSupply(net) && !isMinus(net);
  const row = links.get(net);
  const count = pins.get(net) ?? 0;
  const weak = isOnlyPlus(net);
  const best = bestPartner(row, grounds);
  const backed =
    best !== undefined &&
    (!weak || count >= MANY_PINS || weightOf(best.link) >= TELLING_CAPACITORS);
  if (best && ((named && backed) || weightOf(best.link) >= TELLING_CAPACITORS)) {
    const why = named ? 'named as a supply, ' : '';
    return railOf(net, best.net, `${why}${linkText(best.link)} to ${best.net}`, named);
  }
  if (!named || count < (weak || !isStrong(net) ? MANY_PINS : TELLING_PINS)) return undefined;
  const pole = otherPole(net);
  if (pole !== undefined && pins.has(pole)) {
    return railOf(net, pole, 'named as the two poles of a supply', named);
  }
  // A supply whose capacitors all end elsewhere floats on that net: a high-side driver's, say.
  const floating = bestPartner(row, undefined);
  if (floating && hasCapacitor(floating.link)) {
    return railOf(
      net,
      floating.net,
      `named as a supply, ${linkText(floating.link)} to ${floating.net}`,
      named,
    );
  }
  const main = mainGround(pins, grounds);
  if (main === undefined) return undefined;
  return railOf(net, main, `named as a supply, ${count} pins; its ground is a guess`, named);
}

/** `VBUS`, `+12V`, `V_IN`: no signal would be called that. */
function isStrong(net: string): boolean {
  const name = lastSegment(net);
  return /^\+|^(V|P|A|D)/.test(name) || /^\d/.test(name);
}

function hasCapacitor(link: Link): boolean {
  return link.capacitors + link.electrolytics > 0;
}

function railOf(net: string, ground: string, reason: string, named: boolean): ProposedRail {
  const volts = named ? supplyVolts(net) : undefined;
  const [plus, minus] = volts !== undefined && volts < 0 ? [ground, net] : [net, ground];
  return {
    name: '',
    plus,
    minus,
    ...(volts === undefined ? {} : { volts: Math.abs(volts) }),
    reason,
  };
}

/** The net it shares most with: among `within`, or among all when that is undefined. */
function bestPartner(
  row: ReadonlyMap<string, Link> | undefined,
  within: ReadonlySet<string> | undefined,
): { net: string; link: Link } | undefined {
  let best: { net: string; link: Link } | undefined;
  for (const [net, link] of row ?? []) {
    if (within && !within.has(net)) continue;
    if (!best || weightOf(link) > weightOf(best.link)) best = { net, link };
  }
  return best;
}

function mainGround(
  pins: ReadonlyMap<string, number>,
  grounds: ReadonlySet<string>,
): string | undefined {
  const [first] = [...grounds].toSorted((a, b) => (pins.get(b) ?? 0) - (pins.get(a) ?? 0));
  return first;
}

function linkText(link: Link): string {
  const capacitors = link.capacitors + link.electrolytics;
  const words: string[] = [];
  if (capacitors > 0) words.push(`${capacitors} capacitor${capacitors === 1 ? '' : 's'}`);
  if (link.clamps > 0) words.push(`${link.clamps} clamp${link.clamps === 1 ? '' : 's'}`);
  return words.join(' and ');
}

function railName(rail: ProposedRail): string {
  const net = rail.plus;
  if (isMadeUp(net)) return net;
  const segment = net.slice(net.lastIndexOf('/', net.length - 2) + 1);
  const name = isGround(net) ? lastSegment(rail.minus) : segment;
  return isObjectWord(name) ? `${name}_` : name;
}

function uniqueName(name: string, taken: Set<string>): string {
  let free = name;
  for (let n = 2; taken.has(free); n += 1) free = `${name} ${n}`;
  taken.add(free);
  return free;
}
