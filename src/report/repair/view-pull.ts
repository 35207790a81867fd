/** What comes off, in bench order, and where it lies. */
import type { Board } from '../../board/model.ts';
import { harmless } from '../../board/shown-text.ts';
import { placeName, pullOrder, type TrayPlace, trayPlaces } from '../../job/repair/bench-order.ts';
import { heatOf, holesOf } from '../../job/repair/heat.ts';
import { handled, stillHandled } from '../../job/repair/list.ts';
import { lookAlikes } from '../../job/repair/look-alikes.ts';
import type { RepairList } from '../../job/repair/model.ts';
import { opposedMarks } from '../../job/repair/orientation.ts';
import { partName, partNames, pinName } from '../names.ts';
import type { PullPartView, PullView, TrayRowView } from './model.ts';
import { fullThing } from './thing.ts';

export function viewPull(board: Board, list: RepairList): PullView {
  const parts = handled(list);
  const groups = pullOrder(board, parts);
  const places = trayPlaces(
    board,
    groups.flatMap((group) => group.parts),
  );
  const open = stillHandled(list);
  const placeOf = new Map(places.map((place) => [place.part, placeName(place)]));
  return {
    groups: groups.map(({ parts: own, heatsink, ...group }) => ({
      ...group,
      ...(heatsink === undefined ? {} : { heatsink: harmless(heatsink) }),
      staying: heatsink === undefined ? [] : stayingOn(board, heatsink, parts),
      parts: own.map((part) => viewPulled(board, list, part, placeOf.get(part) ?? '')),
    })),
    rows: viewRows(board, places),
    lookAlikes: lookAlikes(board, open).map(({ package: pack, groups: things }) => ({
      package: harmless(pack),
      hasNoPrint: things.flat().some((index) => board.parts[index]?.kind.name === 'ceramic'),
      groups: things.map((own) => ({
        what: thingOf(board, own[0] ?? -1),
        parts: partNames(board, own),
      })),
    })),
    withoutPackage: partNames(
      board,
      open.filter((index) => board.parts[index]?.package === undefined),
    ),
    opposed: opposedMarks(board, open).map((convention) => ({
      ...convention,
      parts: partNames(board, convention.parts),
    })),
  };
}

function stayingOn(board: Board, heatsink: string, off: readonly number[]): string[] {
  const on = board.parts.filter((part) => part.heatsink === heatsink).map(({ index }) => index);
  return partNames(
    board,
    on.filter((index) => !off.includes(index)),
  );
}

function viewPulled(board: Board, list: RepairList, index: number, place: string): PullPartView {
  const part = board.parts[index];
  const item = list.items.find((each) => each.part === index);
  const goesBack = list.goesBack.some((each) => each.part === index);
  const heat = part === undefined ? undefined : heatOf(board, part);
  const holes = part === undefined ? undefined : holesOf(part);
  return {
    part: partName(board, index),
    place,
    isOff: goesBack || item?.isOff === true || item?.doneAt !== undefined,
    goesBack,
    isMissing:
      item?.reasons.some((each) => each.why === 'seen' && each.finding === 'missing') ?? false,
    ...(part?.at === undefined ? {} : { at: part.at }),
    ...(holes === undefined ? {} : { holes }),
    bigCopper: (heat?.bigCopper ?? []).map((pin) => pinName(board, pin)),
    way: heat?.way ?? 'not known',
  };
}

function viewRows(board: Board, places: readonly TrayPlace[]): TrayRowView[] {
  const rows = new Map<number, TrayPlace[]>();
  for (const place of places) rows.set(place.row, [...(rows.get(place.row) ?? []), place]);
  return [...rows.values()].map((own) => ({
    row: (own[0]?.row ?? 0) + 1,
    what: thingOf(board, own[0]?.part ?? -1),
    parts: own.map(({ part }) => partName(board, part)),
  }));
}

function thingOf(board: Board, index: number): string {
  const part = board.parts[index];
  return part === undefined ? '' : fullThing(part);
}
