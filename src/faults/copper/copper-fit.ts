import type { Board } from '../../board/model.ts';
import type { Meter } from '../../circuit/meter.ts';
import { actsOn, type Fault } from '../fault.ts';
import type { FaultSettings } from '../settings.ts';
import { type CopperGroup, gainOf } from './copper-readings.ts';
import { GroupFit } from './group-fit.ts';
import type { Doubts } from './measured.ts';
import { nearestPad, type Place, placesOf, unseenPlaces } from './place.ts';
import type { Short } from './short.ts';

/** How well fault sets fit what was read along the copper. */
export class CopperFit {
  readonly groups: readonly GroupFit[];
  readonly #board: Board;
  readonly #faults: readonly Fault[];
  /** By group: what each fault is to it. */
  readonly #shorts: readonly Map<number, Short | undefined>[];
  readonly #unseen: (readonly Place[] | undefined)[] = [];

  constructor(
    board: Board,
    faults: readonly Fault[],
    groups: readonly CopperGroup[],
    doubts: Doubts,
  ) {
    this.#board = board;
    this.#faults = faults;
    this.groups = groups.map((group) => new GroupFit(group, doubts));
    this.#shorts = groups.map(() => new Map());
  }

  /** ln of the density of all copper readings if exactly these faults are there. */
  log(faults: readonly number[]): number {
    return this.groups.reduce((sum, group, k) => sum + group.log(this.shortsOf(k, faults)), 0);
  }

  /** Whether a fault joins the sides of any group. */
  crosses(id: number): boolean {
    return this.groups.some((_, k) => this.shortOf(k, id) !== undefined);
  }

  /** Those of the faults that join both sides of a group, or what several of them make together. */
  shortsOf(group: number, faults: readonly number[]): Short[] {
    const direct = faults.flatMap((id) => this.shortOf(group, id) ?? []);
    if (direct.length > 0 || faults.length < 2) return direct;
    const chain = this.#chain(group, faults);
    return chain === undefined ? [] : [chain];
  }

  /** One fault from one side to a net of its own, another from there to the other side. */
  #chain(group: number, faults: readonly number[]): Short | undefined {
    const { copper } = (this.groups[group] as GroupFit).group;
    const some = faults.map((id) => this.#faults[id] as Fault);
    const ends = some.flatMap(({ branches }) => branches.flatMap(({ pinA, pinB }) => [pinA, pinB]));
    const [one, other] = ([0, 1] as const).map((k) => nearestPad(this.#board, copper, k, ends));
    if (one === undefined || other === undefined) return undefined;
    const ohms = some.reduce((sum, { branches }) => sum + (branches[0]?.ohms ?? 0), 0);
    return {
      key: `chain ${one}-${other} ${some.map(({ id }) => id).join(' ')}`,
      places: [[one, other]],
      median: Math.max(ohms, LEAST_OHMS),
      spread: Math.max(LEAST_SPREAD, ...some.map(({ spread }) => spread)),
      actsIn: (state) => some.every((fault) => actsOn(fault, state)),
    };
  }

  /** What a fault is to a group; undefined when it does not join its sides. */
  shortOf(group: number, id: number): Short | undefined {
    const known = this.#shorts[group] as Map<number, Short | undefined>;
    if (!known.has(id)) known.set(id, this.#makeShort(group, this.#faults[id] as Fault));
    return known.get(id);
  }

  #makeShort(group: number, fault: Fault): Short | undefined {
    const { copper } = (this.groups[group] as GroupFit).group;
    const [branch] = fault.branches;
    if (branch === undefined) return undefined;
    const isUnseen = fault.nets !== undefined && this.#joinsNets(group, fault.nets);
    const places = isUnseen ? this.#unseenOf(group) : placesOf(this.#board, copper, fault);
    if (places.length === 0) return undefined;
    const at = places.map((place) => place.join('-')).join(' ');
    return {
      key: `${at} ${branch.ohms} ${fault.spread} ${fault.id}`,
      places,
      median: Math.max(branch.ohms, LEAST_OHMS),
      spread: Math.max(fault.spread, LEAST_SPREAD),
      actsIn: (state) => actsOn(fault, state),
    };
  }

  #joinsNets(group: number, [a, b]: readonly [number, number]): boolean {
    const { nets } = (this.groups[group] as GroupFit).group.copper;
    return (nets[0].has(a) && nets[1].has(b)) || (nets[0].has(b) && nets[1].has(a));
  }

  #unseenOf(group: number): readonly Place[] {
    const { copper } = (this.groups[group] as GroupFit).group;
    this.#unseen[group] ??= unseenPlaces(this.#board, copper);
    return this.#unseen[group];
  }
}

/** A short is never nothing, and its ohms are never known beforehand. */
const LEAST_OHMS = 1e-3;
const LEAST_SPREAD = 0.5;

/** @param settings how often a reading is wrong */
export function copperFitOf(
  board: Board,
  faults: readonly Fault[],
  groups: readonly CopperGroup[],
  meter: Meter,
  { slipRatio }: FaultSettings,
): CopperFit {
  return new CopperFit(board, faults, groups, { gain: gainOf(meter), slip: slipRatio });
}
