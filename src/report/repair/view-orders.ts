/** What to get, by thing to order; and what a part from another board must show. */
import type { Board, Part } from '../../board/model.ts';
import { harmless } from '../../board/shown-text.ts';
import { benchReadings, newOnly } from '../../job/repair/donor.ts';
import { identityOf } from '../../job/repair/identity.ts';
import type { RepairItem } from '../../job/repair/model.ts';
import { mayHoldProgram } from '../../job/repair/stress.ts';
import { partName, partNames } from '../names.ts';
import type { DonorView, OrderPartView, OrderView } from './model.ts';
import { reasonText } from './reasons.ts';
import { whatOf } from './thing.ts';

/** One entry for each thing, in the order in which the list comes to it. */
export function viewOrders(board: Board, items: readonly RepairItem[]): OrderView[] {
  return byThing(board, items).map(({ part, items: own }) => viewOrder(board, part, own));
}

interface Thing {
  readonly part: Part;
  readonly items: RepairItem[];
}

function byThing(board: Board, items: readonly RepairItem[]): Thing[] {
  const things = new Map<string, Thing>();
  for (const item of items) {
    const part = board.parts[item.part];
    if (part === undefined) continue;
    const { key } = identityOf(part);
    const held = things.get(key);
    if (held === undefined) things.set(key, { part, items: [item] });
    else held.items.push(item);
  }
  return [...things.values()];
}

function viewOrder(board: Board, part: Part, items: readonly RepairItem[]): OrderView {
  const identity = identityOf(part);
  const parts = items.map((item) => viewOrderPart(board, item));
  const count = (state: OrderPartView['state']): number =>
    parts.filter((each) => each.state === state).length;
  const only = newOnly(board, part);
  return {
    ...(identity.partNumber === undefined ? {} : { partNumber: harmless(identity.partNumber) }),
    what: whatOf(identity),
    ...(identity.package === undefined ? {} : { package: harmless(identity.package) }),
    missing: identity.missing,
    quantity: parts.length,
    fitted: count('fitted'),
    ordered: count('ordered'),
    stay: count('tested, stays'),
    toGet: count('to get'),
    likely: likelyNeeded(board, items),
    parts,
    ...(only === undefined ? {} : { newOnly: only }),
    mayHoldProgram: mayHoldProgram(part),
  };
}

/** Expected number of parts to be renewed; of a bank, all its listed parts if one of them is. */
function likelyNeeded(board: Board, items: readonly RepairItem[]): number {
  const open = items.filter((item) => stateOf(item) === 'to get');
  const chances = new Map<string, { parts: number; none: number }>();
  for (const { part, need, weight } of open) {
    const chance = need === 'sure' ? 1 : weight;
    const bank = board.parts[part]?.bank;
    const key = bank === undefined ? `part ${part}` : `bank ${bank}`;
    const held = chances.get(key) ?? { parts: 0, none: 1 };
    chances.set(key, { parts: held.parts + 1, none: held.none - chance });
  }
  const all = [...chances.values()].map(({ parts, none }) => parts * (1 - Math.max(0, none)));
  return all.reduce((sum, each) => sum + each, 0);
}

function viewOrderPart(board: Board, item: RepairItem): OrderPartView {
  const { part, need, doneAt, weight, reasons } = item;
  return {
    part: partName(board, part),
    need,
    state: stateOf(item),
    ...(doneAt === undefined ? {} : { fittedAt: doneAt }),
    weight,
    alike: item.alike.length > 1 ? partNames(board, item.alike) : [],
    why: reasons.map((reason) => ({
      why: reason.why,
      text: reasonText(board, reason, doneAt !== undefined),
    })),
  };
}

function stateOf({ doneAt, ticks, need }: RepairItem): OrderPartView['state'] {
  if (doneAt !== undefined) return 'fitted';
  if (ticks.has('ordered')) return 'ordered';
  return need === 'in case' && ticks.has('tested') ? 'tested, stays' : 'to get';
}

/** Readings of a part from another board; things only fitted new, or without readings, left out. */
export function viewDonors(board: Board, items: readonly RepairItem[]): DonorView[] {
  return byThing(board, items).flatMap(({ part, items: own }) => {
    const readings = benchReadings(part);
    if (readings.length === 0 || newOnly(board, part) !== undefined) return [];
    const identity = identityOf(part);
    const what = harmless(identity.partNumber ?? whatOf(identity));
    return [{ what, parts: own.map((item) => partName(board, item.part)), readings }];
  });
}
