import { harmless } from '../../board/shown-text.ts';
import { type MappedNets, mappedNets } from '../../job/mapping/nets.ts';
import type { MapSession } from '../../job/mapping/session.ts';
import type { Sweep } from '../../steps/mapping/next-sweep.ts';

/** One touch of a step: a point, or a row at once. */
export interface ContactView {
  readonly points: readonly string[];
  /** Chance to beep, 0–1. */
  readonly chance: number;
}

/** Hold a probe on one point, touch others in turn. */
export interface SweepView {
  readonly hold: string;
  /** Net the held point is on, once it has a name. */
  readonly holdNet?: string;
  readonly touch: readonly ContactView[];
  readonly why: Sweep['why'];
  /** The line that records that none beeped. */
  readonly quietLine: string;
}

export interface ProgressView {
  readonly points: number;
  /** Points joined to another, or named. */
  readonly onNets: number;
  readonly nets: number;
  readonly touches: number;
  readonly answers: number;
  readonly finished: boolean;
}

export interface MapConflictView {
  readonly event: number;
  readonly points: readonly [string, string];
  readonly joinedBy: readonly string[];
}

/** What stands in the way of calling the nets known. */
export interface MapView {
  readonly map: string;
  readonly progress: ProgressView;
  readonly step: SweepView | null;
  /** The point taken to be on ground, and whether a person said so. */
  readonly ground: { readonly point: string; readonly isTold: boolean } | null;
  readonly conflicts: readonly MapConflictView[];
  /** Parts that join what reads as one net, and how many nets eyes told apart there. */
  readonly lowOhm: readonly { readonly parts: readonly string[]; readonly nets: number }[];
  /** Names given to what reads as one net. */
  readonly sameNet: readonly (readonly string[])[];
  /** Parts read with two legs on one net that should be apart. */
  readonly bridged: readonly string[];
  readonly lifted: readonly string[];
}

/** A map under way in names: what is asked next, how far it came, what stands in its way. */
export function viewMap(session: MapSession, mapped: MappedNets = mappedNets(session)): MapView {
  const sweep = session.next();
  return {
    map: harmless(session.list.name),
    progress: viewProgress(session),
    step: sweep === undefined ? null : viewSweep(session, sweep),
    ground: groundOf(session),
    conflicts: session.conflicts.map(({ event, points: [a, b], joinedBy }) => ({
      event,
      points: [harmless(a), harmless(b)] as const,
      joinedBy: joinedBy.map(harmless),
    })),
    lowOhm: mapped.lowOhm.map(({ parts, nets }) => ({ parts: parts.map(harmless), nets })),
    sameNet: mapped.sameNet.map((names) => names.map(harmless)),
    bridged: mapped.bridged.map(harmless),
    lifted: [...session.told.lifted].map(harmless),
  };
}

function groundOf(session: MapSession): MapView['ground'] {
  const { ground, points } = session.problem;
  const point = ground === undefined ? undefined : points[ground]?.name;
  if (ground === undefined || point === undefined) return null;
  const pins = session.list.parts.flatMap((part) => part.pins);
  const isTold = session.told.ground !== undefined || pins[ground]?.net !== undefined;
  return { point: harmless(point), isTold };
}

/** How far the map has come, without working out the nets. */
export function viewProgress(session: MapSession): ProgressView {
  const { map, problem } = session;
  // The two legs of an inductor are no net yet.
  const partsOn = (net: number): number =>
    new Set(map.pointsOf(net).map((point) => problem.points[point]?.part)).size;
  const nets = map.nets().filter((net) => partsOn(net) > 1);
  return {
    points: problem.points.length,
    onNets: nets.reduce((sum, net) => sum + map.pointsOf(net).length, 0),
    nets: nets.length,
    ...session.counts,
    finished: session.next() === undefined,
  };
}

export function viewSweep(session: MapSession, sweep: Sweep): SweepView {
  const name = (point: number): string => harmless(session.problem.points[point]?.name ?? '?');
  const touch = sweep.touch.map(({ points, chance }) => ({
    points: points.map(name),
    chance: Number(chance.toFixed(3)),
  }));
  const hold = name(sweep.hold);
  const net = netName(session, sweep.hold);
  return {
    hold,
    ...(net === undefined ? {} : { holdNet: harmless(net) }),
    touch,
    why: sweep.why,
    quietLine: `${hold} ${touch.map(({ points }) => points.join(',')).join(' ')} quiet`,
  };
}

function netName(session: MapSession, point: number): string | undefined {
  const { map, told, problem } = session;
  const net = map.netOf(point);
  for (const [named, name] of told.netNames) if (map.netOf(named) === net) return name;
  if (problem.ground !== undefined && map.netOf(problem.ground) === net) return 'GND';
  const pins = session.list.parts.flatMap((part) => part.pins);
  return map.pointsOf(net).flatMap((each) => pins[each]?.net ?? [])[0];
}
