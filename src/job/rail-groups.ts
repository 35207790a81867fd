/** Rails that stand at one voltage, and the nets that stand there with them. */
import type { Board, Rail } from '../board/model.ts';
import { closelyJoined, type Hop, isCoil } from './feed-hops.ts';

/** Rails that links, fuses, beads or chokes join: they come up together. */
export interface Group {
  /** Rail numbers, in file order. */
  readonly rails: readonly number[];
  /** The rails' own nets and all that links join to them; chokes not counted. */
  readonly nets: ReadonlySet<number>;
  /** The same and what lies behind chokes. */
  readonly reach: ReadonlySet<number>;
  /** V of the first that says; undefined when none does. */
  readonly volts?: number;
  /** Alternating voltage: it goes to the AC side of a bridge rectifier, or is named so. */
  readonly isMains: boolean;
}

const MAINS_NAME = /^(mains|line|live)$|^ac[-_ ]?(in|line|mains|[ln12])?$/i;

/** The net of a rail that is not ground: its plus, or its minus where plus is the others' ground. */
export function liveNet(board: Board, rail: Rail): number {
  const isGround = board.rails.some((other) => other !== rail && other.minus === rail.plus);
  return isGround ? rail.minus : rail.plus;
}

/** Nets that are no rail's live net and stand at ground, or at the neutral of the mains. */
export function groundNets(board: Board): ReadonlySet<number> {
  const lives = board.rails.map((rail) => liveNet(board, rail));
  const live = new Set(lives);
  const others = board.rails.map((rail, k) => (rail.plus === lives[k] ? rail.minus : rail.plus));
  const ground = closelyJoined(
    board,
    others.filter((net) => !live.has(net)),
  );
  for (const net of lives) ground.delete(net);
  return ground;
}

/** Groups in file order of their first rail. */
export function groupsOf(
  board: Board,
  hops: readonly (readonly Hop[])[],
  ground: ReadonlySet<number>,
): Group[] {
  const lives = board.rails.map((rail) => liveNet(board, rail));
  const alternating = alternatingNets(board);
  const groups: { rails: number[]; nets: Set<number>; reach: Set<number> }[] = [];
  const groupAt = new Map<number, number>();
  lives.forEach((net, rail) => {
    const known = groupAt.get(net);
    if (known !== undefined) {
      groups[known]?.rails.push(rail);
      return;
    }
    const wide = linkedTo(board, net, hops, ground, true);
    for (const each of lives) if (wide.has(each)) groupAt.set(each, groups.length);
    groups.push({ rails: [rail], nets: new Set(), reach: wide });
  });
  lives.forEach((net) => {
    const group = groups[groupAt.get(net) ?? -1];
    if (group === undefined || group.nets.has(net)) return;
    for (const each of linkedTo(board, net, hops, ground, false)) group.nets.add(each);
  });
  return groups.map(({ rails, nets, reach }) => {
    const volts = rails.map((rail) => board.rails[rail]?.volts).find((each) => each !== undefined);
    const names = rails.map((rail) => board.rails[rail]?.name ?? '');
    const isMains =
      [...nets].some((net) => alternating.has(net)) || names.some((name) => MAINS_NAME.test(name));
    return { rails, nets, reach, isMains, ...(volts === undefined ? {} : { volts }) };
  });
}

/** Nets that links join to this one, through chokes as well or not; never through ground. */
function linkedTo(
  board: Board,
  net: number,
  hops: readonly (readonly Hop[])[],
  ground: ReadonlySet<number>,
  throughCoils: boolean,
): Set<number> {
  const found = new Set([net]);
  for (const at of found) {
    for (const { to, kind, part } of hops[at] ?? []) {
      const piece = board.parts[part];
      if (kind !== 'link' || piece === undefined || piece.kind.name === 'switch') continue;
      if (!ground.has(to) && (throughCoils || !isCoil(piece))) found.add(to);
    }
  }
  return found;
}

/** Nets on the AC pins of bridge rectifiers, and those a common-mode choke or a link away. */
function alternatingNets(board: Board): Set<number> {
  const pins = board.parts
    .filter(({ kind }) => kind.name === 'bridge-rectifier')
    .flatMap((part) => part.pins.flatMap((pin) => board.pins[pin] ?? []))
    .filter(({ name }) => name === 'AC1' || name === 'AC2');
  const nets = new Set(pins.map(({ net }) => net));
  for (const { windings } of board.parts) {
    for (const { pins: ends } of windings) {
      const [a, b] = ends.map((pin) => board.pins[pin]?.net ?? -1);
      if (a !== undefined && b !== undefined && (nets.has(a) || nets.has(b))) nets.add(a).add(b);
    }
  }
  return closelyJoined(board, nets);
}
