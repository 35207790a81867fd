import type { Board } from '../board/model.ts';
import { placedBoard } from '../board/placed-board.ts';
import type { Meter } from '../circuit/meter.ts';
import type { Place } from '../job/bench-log.ts';
import { boardOf, type DerivedJob } from '../job/derive.ts';
import { type Gate, gates } from '../job/gates.ts';
import { holding } from '../job/growth/grown.ts';
import { type PowerPlan, powerPlan } from '../job/power-plan.ts';
import type { HealthyParts } from '../job/recheck.ts';
import { DEFAULT_SHOP, type Shop } from '../job/shop/shop.ts';
import {
  healthyBoard,
  openWorkbench,
  type Workbench,
  type WorkbenchOptions,
} from '../steps/advise.ts';
import { healthyLegOhms } from '../steps/own-legs.ts';

const workbenches = new WeakMap<Board, Workbench>();
const settings = new WeakMap<Board, WorkbenchOptions>();

/** Reads a board with this meter from here on; undefined leaves the one it has. */
export function useMeter(board: Board, meter: Meter | undefined): void {
  if (meter !== undefined) useSettings(board, { meter });
}

/** Works on a board by these settings from here on; what they leave out stays as it is. */
export function useSettings(board: Board, options: WorkbenchOptions): void {
  settings.set(board, { ...settings.get(board), ...options });
  workbenches.delete(board);
}

const shops = new WeakMap<Board, Shop>();

/** Works on a board by a shop's thresholds and checks from here on. */
export function useRules(board: Board, shop: Shop): void {
  shops.set(board, shop);
}

/**
 * The board with what was seen and the positions typed in a job; settings and shop hold for it as for
 * the board itself. The same statements and places give the same board, so that its workbench is kept.
 */
export function boardAsPlaced(board: Board, job: DerivedJob): Board {
  const grown = boardAsSeen(board, job);
  const { places } = job;
  if (places.length === 0) return grown;
  const held = placed.get(places);
  if (held?.of === grown) return held.made;
  const made = likeBoard(grown, holding(placedBoard(grown, places), job.growths));
  placed.set(places, { of: grown, made });
  return made;
}

/** The same without the positions. */
export function boardAsSeen(board: Board, job: DerivedJob): Board {
  const plain = boardAsFiled(board);
  const grown = boardOf(plain, job);
  return grown === plain || plainOf.has(grown) ? grown : likeBoard(plain, grown);
}

/** The board as its file has it. */
export function boardAsFiled(board: Board): Board {
  return plainOf.get(board) ?? board;
}

/** Works on `made` as on the board it was made from. */
function likeBoard(from: Board, made: Board): Board {
  const options = settings.get(from);
  if (options !== undefined) settings.set(made, options);
  useRules(made, shopOf(from));
  plainOf.set(made, plainOf.get(from) ?? from);
  return made;
}

/** By the list of places, which stays the same object until a place is typed or taken back. */
const placed = new WeakMap<readonly Place[], { readonly of: Board; readonly made: Board }>();
/** What its file says of a board that was made from it. */
const plainOf = new WeakMap<Board, Board>();

/** The shop whose thresholds and checks hold for a board. */
export function shopOf(board: Board): Shop {
  return shops.get(board) ?? DEFAULT_SHOP;
}

/** What was read clear since the last change, judged by what a board without faults would show. */
export function gatesOf(board: Board, derived: DerivedJob): Gate[] {
  const workbench = workbenchFor(board);
  return gates(board, derived, healthyBoard(workbench));
}

/** What a board without faults shows, from its pads and part by part. */
export function healthyPartsOf(board: Board): HealthyParts {
  const workbench = workbenchFor(board);
  const legOhms = (part: number, a: number, b: number): number =>
    healthyLegOhms(workbench, part, a, b);
  return { ...healthyBoard(workbench), legOhms };
}

/** The plan for first power; it depends on the board alone. */
export function powerPlanOf(board: Board): PowerPlan {
  const held = plans.get(board);
  if (held !== undefined) return held;
  const made = powerPlan(workbenchFor(board).bench.circuit);
  plans.set(board, made);
  return made;
}

const plans = new WeakMap<Board, PowerPlan>();

/** The workbench of a board: preparing one costs, so each board in memory has one. */
export function workbenchFor(board: Board): Workbench {
  const held = workbenches.get(board);
  if (held !== undefined) return held;
  const made = openWorkbench(board, settings.get(board));
  workbenches.set(board, made);
  return made;
}
