/**
 * The plan for first power, worked out from the board alone: which rails come up in which stage, how
 * each stage is fed and limited, what every rail should read, what must stay cool. Least energy first.
 */
import type { Board } from '../board/model.ts';
import { storedEnergy } from '../board/stored-energy.ts';
import type { Circuit } from '../circuit/circuit.ts';
import { closelyJoined } from './feed-hops.ts';
import { handyPlace } from './handy-place.ts';
import { limitAmps, type PowerSource, sourceFor, stepsOf, TOUCH_VOLTS } from './power-source.ts';
import { checkFor, type RailCheck, type Standing } from './rail-check.ts';
import type { Feed } from './rail-feeds.ts';
import { type RailLoad, railLoad } from './rail-load.ts';
import { type FedGroup, fedGroups } from './rail-order.ts';
import { coolParts } from './watch-parts.ts';

export interface PowerPlan {
  readonly stages: readonly PlanStage[];
  /** Rails that come up together, by group number; feeds name these. */
  readonly groups: readonly (readonly number[])[];
  /** True when some stage is fed from the mains or from a dangerous voltage. */
  readonly isDangerous: boolean;
}

/** One stage: rails that come up together. */
export interface PlanStage {
  /** From 1; what `power 2 passed` names. */
  readonly number: number;
  /** Rails that are read in it, in the order they come up. */
  readonly rails: readonly number[];
  readonly feed: StageFeed;
  readonly steps: readonly PowerStep[];
  /** What the rail that is fed, or the first one, draws at its full voltage; undefined: not told. */
  readonly load?: RailLoad;
  /** Parts with power in this stage that must not get warm, the likeliest first. */
  readonly cool: readonly number[];
  /** What the capacitors on its rails hold at full voltage, J, and the slowest to empty. */
  readonly joules: number;
  readonly bleed?: { readonly ohms: number; readonly seconds: number };
}

export type StageFeed =
  /** Power is brought in, between a rail's two nets. */
  | {
      readonly how: 'source';
      readonly source: PowerSource;
      readonly rail: number;
      /** Connectors it comes in by in use; empty when the rail is fed apart from them. */
      readonly plugs: readonly number[];
      /** A rail behind a transformer, fed by itself while the input stays dead. */
      readonly isApart: boolean;
    }
  /** The rails come up from those of earlier stages; nothing is changed outside. */
  | { readonly how: 'board'; readonly feeds: readonly Feed[] }
  /** The board file does not tell where the first of these rails come from; what it feeds on is told. */
  | { readonly how: 'unknown'; readonly feeds: readonly Feed[] };

/** A setting of the source, or for rails fed by the board the only look at them. */
export interface PowerStep {
  /** Share of the full voltage, 0–1. */
  readonly share: number;
  /** V; undefined when the rail's voltage is not in the board file. */
  readonly volts?: number;
  /** Current limit of a bench supply, A. */
  readonly limitAmps?: number;
  /** True for the last step on mains: the lamp taken out, the board's own fuse in. */
  readonly isWithoutLamp?: boolean;
  /** Seconds the capacitors charge at the limit before the rail stands. */
  readonly chargeSeconds?: number;
  readonly checks: readonly RailCheck[];
}

/** Stages in the order they are taken. Depends on the board alone, so that their numbers stay. */
export function powerPlan(circuit: Circuit): PowerPlan {
  const { board } = circuit;
  const groups = fedGroups(board);
  const families = familiesOf(groups, (at) => joulesOf(board, groups[at] as FedGroup));
  const stages = families.map((family, k) => stageOf(circuit, groups, family, k + 1));
  const isDangerous = stages.some(({ feed }) => feed.how === 'source' && feed.source.isDangerous);
  return { stages, groups: groups.map(({ rails }) => rails), isDangerous };
}

/** What each rail should read once all of them are up: its last look in the plan, at full voltage. */
export function fullChecks({ stages }: PowerPlan): Map<number, RailCheck> {
  const last = stages.flatMap(({ steps }) => steps.at(-1)?.checks ?? []);
  return new Map(last.map((check) => [check.rail, check]));
}

/** Groups of one stage, the fed one first. */
interface Family {
  readonly how: 'input' | 'apart' | 'board' | 'unknown';
  readonly groups: readonly number[];
}

function familiesOf(groups: readonly FedGroup[], joules: (at: number) => number): Family[] {
  const below = (at: number): number[] =>
    groups.flatMap(({ feed }, to) => (feed?.from === at ? [to, ...below(to)] : []));
  const inputs = groups
    .flatMap(({ isInput }, at) => (isInput ? [at] : []))
    .sort((a, b) => hazardOf(groups[a]) - hazardOf(groups[b]));
  const isHazard = inputs.some((at) => hazardOf(groups[at]) >= TOUCH_VOLTS);
  const apart = groups.flatMap(({ feed, volts }, at) => {
    const isLow = volts === undefined || volts < TOUCH_VOLTS;
    return isHazard && isLow && feed?.isApart === true && feed.blocksBack ? [at] : [];
  });
  apart.sort((a, b) => joules(a) - joules(b));
  const unknown = groups.flatMap((group, at) => (group.isInput || group.feed ? [] : [at]));
  return [
    ...apart.map((at): Family => ({ how: 'apart', groups: [at, ...below(at)] })),
    ...inputs.flatMap((at) => levels(groups, at)),
    ...(unknown.length === 0
      ? []
      : [{ how: 'unknown' as const, groups: unknown.flatMap((at) => [at, ...below(at)]) }]),
  ];
}

/** Mains last, and of the others the lowest voltage first. */
function hazardOf(group: FedGroup | undefined): number {
  return group?.isMains === true ? Number.POSITIVE_INFINITY : (group?.volts ?? 24);
}

/** An input with what a rectifier makes of it, then what comes up from there, level by level. */
function levels(groups: readonly FedGroup[], input: number): Family[] {
  const found: Family[] = [];
  for (let level = [input]; level.length > 0; ) {
    // What follows the voltage all the way up belongs to the same stage.
    for (const at of level) {
      groups.forEach(({ feed }, to) => {
        if (feed?.from === at && feed.kind === 'rectifier') level.push(to);
      });
    }
    found.push({ how: found.length === 0 ? 'input' : 'board', groups: level });
    const held = new Set(level);
    level = groups.flatMap(({ feed }, to) =>
      feed && held.has(feed.from) && !held.has(to) ? [to] : [],
    );
  }
  return found;
}

function stageOf(
  circuit: Circuit,
  groups: readonly FedGroup[],
  family: Family,
  number: number,
): PlanStage {
  const { board } = circuit;
  const members = family.groups.flatMap((at) => groups[at] ?? []);
  const [head] = members;
  const first = head?.rails[0] ?? 0;
  const rails = members.flatMap((group) => group.rails);
  const load = loadOf(circuit, first, head?.volts);
  const nets = new Set(members.flatMap(({ reach }) => [...reach]));
  const feeds = members.flatMap(({ feed }) => feed ?? []);
  const bleed = slowestBleed(board, nets);
  const feed = feedOf(board, family, head, first, feeds);
  return {
    number,
    rails,
    feed,
    steps: stepsFor(board, groups, family, feed, load),
    cool: coolParts(board, {
      nets,
      grounds: closelyJoined(
        board,
        feed.how === 'source' ? rails.map((rail) => board.rails[rail]?.minus ?? -1) : [],
      ),
      through: feeds.flatMap(({ through }) => through),
      load,
    }),
    joules: energyOn(board, nets),
    ...(load === undefined ? {} : { load }),
    ...(bleed === undefined ? {} : { bleed }),
  };
}

function feedOf(
  board: Board,
  { how }: Family,
  head: FedGroup | undefined,
  rail: number,
  feeds: readonly Feed[],
): StageFeed {
  if (how === 'board') return { how, feeds };
  if (how === 'unknown' || head === undefined) return { how: 'unknown', feeds };
  const isApart = how === 'apart';
  const source = sourceFor(board, head, isApart);
  return { how: 'source', source, rail, plugs: isApart ? [] : head.plugs, isApart };
}

function stepsFor(
  board: Board,
  groups: readonly FedGroup[],
  family: Family,
  feed: StageFeed,
  load: RailLoad | undefined,
): PowerStep[] {
  const top = groups[family.groups[0] ?? -1];
  const checksAt = (share: number): RailCheck[] =>
    family.groups.flatMap((at) => {
      const group = groups[at];
      if (group === undefined) return [];
      const standing = standingOf(groups, family, at, share);
      return group.rails.map((rail) =>
        checkFor(board, rail, standing, (net) => handyPlace(board, net)),
      );
    });
  if (feed.how !== 'source') return [{ share: 1, checks: checksAt(1) }];
  const farads = faradsOn(board, top?.reach ?? new Set());
  return stepsOf(feed.source).map(({ share, isWithoutLamp }, k, all): PowerStep => {
    const { volts } = feed.source;
    const limit = limitAmps(feed.source, share, load);
    const rise = volts === undefined ? undefined : volts * (share - (all[k - 1]?.share ?? 0));
    const charge = rise !== undefined && limit !== undefined ? (farads * rise) / limit : undefined;
    return {
      share,
      ...(volts === undefined ? {} : { volts: volts * share }),
      ...(limit === undefined ? {} : { limitAmps: limit }),
      ...(charge === undefined ? {} : { chargeSeconds: charge }),
      ...(isWithoutLamp ? { isWithoutLamp } : {}),
      checks: checksAt(share),
    };
  });
}

/** How a group stands to the source of its stage at a share of the full voltage. */
function standingOf(
  groups: readonly FedGroup[],
  { how, groups: members }: Family,
  at: number,
  share: number,
): Standing {
  const group = groups[at] as FedGroup;
  const isFed = at === members[0] && (how === 'input' || how === 'apart');
  if (isFed) return { is: 'fed', share, isMains: group.isMains, volts: group.volts };
  const { feed } = group;
  if (feed === undefined || how === 'unknown') return { is: 'unknown', volts: group.volts };
  if (feed.kind === 'rectifier' && how === 'input') {
    const from = groups[feed.from];
    return {
      is: 'rectified',
      share,
      volts: group.volts,
      from: from?.volts,
      isMains: from?.isMains === true,
    };
  }
  return { is: 'follows', kind: feed.kind, isFull: share === 1, volts: group.volts };
}

function loadOf(circuit: Circuit, rail: number, volts: number | undefined): RailLoad | undefined {
  const known = circuit.board.rails[rail];
  if (known === undefined || volts === undefined) return undefined;
  return railLoad(circuit, known.plus, known.minus, volts);
}

function joulesOf(board: Board, { reach }: FedGroup): number {
  return energyOn(board, reach);
}

function storedOn(board: Board, nets: ReadonlySet<number>): ReturnType<typeof storedEnergy> {
  return storedEnergy(board).filter(({ nets: pair }) => pair.some((net) => nets.has(net)));
}

function energyOn(board: Board, nets: ReadonlySet<number>): number {
  return storedOn(board, nets).reduce((sum, { joules }) => sum + joules, 0);
}

function faradsOn(board: Board, nets: ReadonlySet<number>): number {
  return storedOn(board, nets).reduce((sum, { farads }) => sum + farads, 0);
}

function slowestBleed(
  board: Board,
  nets: ReadonlySet<number>,
): { ohms: number; seconds: number } | undefined {
  const [slowest] = storedOn(board, nets).toSorted((a, b) => b.bleedSeconds - a.bleedSeconds);
  return slowest && { ohms: slowest.bleedOhms, seconds: slowest.bleedSeconds };
}
