/** What is fitted, in order, with its way round, its fastening and the boxes to tick. */
import type { Board, Part } from '../../board/model.ts';
import { harmless } from '../../board/shown-text.ts';
import { formatOhms } from '../../board/units.ts';
import type { Isolation } from '../../job/bench-log.ts';
import { fitOrder } from '../../job/repair/bench-order.ts';
import { type Fastening, fasteningOf, isApart, tabPinOf } from '../../job/repair/fastening.ts';
import { holesOf } from '../../job/repair/heat.ts';
import { handled } from '../../job/repair/list.ts';
import { MARKS } from '../../job/repair/marks.ts';
import { matchedSets } from '../../job/repair/matched.ts';
import type { RepairList } from '../../job/repair/model.ts';
import { type Orientation, orientationOf } from '../../job/repair/orientation.ts';
import { type Family, familyOf } from '../../job/repair/package-family.ts';
import { viewCautions } from '../cautions.ts';
import { netName, partName, partNames, pinName } from '../names.ts';
import { boxesOf } from './boxes.ts';
import type { FamilyView, FasteningView, FitPartView, FitView } from './model.ts';
import { fullThing } from './thing.ts';

export function viewFit(board: Board, list: RepairList): FitView {
  const parts = handled(list);
  const sets = matchedSets(board, renewed(list));
  const inSets = new Set(sets.flatMap(({ fitted }) => fitted));
  return {
    groups: fitOrder(board, parts).map(({ parts: own, heatsink, ...group }) => ({
      ...group,
      ...(heatsink === undefined ? {} : { heatsink: harmless(heatsink) }),
      parts: own.flatMap((index) => {
        const part = board.parts[index];
        return part === undefined ? [] : [viewFitted(board, list, part, inSets.has(index))];
      }),
    })),
    lifted: list.lifted.map((pin) => pinName(board, pin)),
    sets: sets.map((set) => ({
      ...(set.bank === undefined ? {} : { bank: harmless(set.bank) }),
      fitted: partNames(board, set.fitted),
      staying: partNames(board, set.staying),
      gateResistors: partNames(board, set.gateResistors),
      gateResistorsDiffer: set.gateResistorsDiffer,
    })),
    families: viewFamilies(board, parts),
    hasMains: viewCautions(board).mains,
  };
}

function renewed({ items }: RepairList): number[] {
  return items.filter(({ need }) => need === 'sure').map(({ part }) => part);
}

function viewFitted(board: Board, list: RepairList, part: Part, isInSet: boolean): FitPartView {
  const item = list.items.find((each) => each.part === part.index && each.need === 'sure');
  const back = list.goesBack.find((each) => each.part === part.index);
  const isNew = back === undefined;
  const { ticks, isolation } = back ?? item ?? { ticks: new Map(), isolation: undefined };
  const orientation = orientationOf(board, part);
  const fastening = fasteningOf(board, part);
  const holes = holesOf(part);
  const { boardMark } = orientation;
  return {
    part: partName(board, part.index),
    what: fullThing(part),
    isNew,
    isFitted: item?.doneAt !== undefined && isNew,
    ...(item?.doneAt === undefined || !isNew ? {} : { fittedAt: item.doneAt }),
    ends: endsOf(board, part, orientation),
    isEitherWay: orientation.isEitherWay,
    family: orientation.family,
    ...(boardMark === undefined ? {} : { boardMark: harmless(boardMark) }),
    markDisagrees: orientation.disagrees,
    ...(holes === undefined ? {} : { holes }),
    ...(fastening === undefined
      ? {}
      : { fastening: viewFastening(board, part, fastening, isolation) }),
    boxes: boxesOf({
      part,
      isNew,
      ticks,
      ...(holes === undefined ? {} : { holes }),
      isInSet,
      isEitherWay: orientation.isEitherWay,
      ...(fastening === undefined ? {} : { fastening }),
      ...(isolation === undefined ? {} : { isolation }),
      ...(item?.doneAt === undefined || !isNew ? {} : { fittedAt: item.doneAt }),
    }),
  };
}

/** `stripe (minus) to GND`, `plus to P48`; all pins of a part with few. */
function endsOf(
  board: Board,
  part: Part,
  { family, fact, markedPin, pins }: Orientation,
): string[] {
  const tab = /tab/.test(family) ? tabPinOf(board, part) : undefined;
  const net = (pin: number): string => netName(board, board.pins[pin]?.net ?? -1);
  const name = (pin: number): string =>
    harmless(board.pins[pin]?.name ?? '') + (pin === tab ? ' (tab)' : '');
  const marked =
    markedPin === undefined || fact.mark === undefined
      ? []
      : [`${fact.mark} (${fact.means}) to ${net(markedPin)}`];
  const others = pins.filter((pin) => pin !== markedPin || marked.length === 0);
  return [...marked, ...others.map((pin) => `${name(pin)} to ${net(pin)}`)].slice(
    0,
    part.pins.length,
  );
}

function viewFastening(
  board: Board,
  part: Part,
  { heatsink, insulator, between, tabPin, torque }: Fastening,
  isolation: Isolation | undefined,
): FasteningView {
  return {
    heatsink: harmless(heatsink),
    package: harmless(part.package ?? part.kind.title),
    insulator,
    ...(between === undefined ? {} : { between }),
    ...(tabPin === undefined ? {} : { tab: pinName(board, tabPin) }),
    ...(torque === undefined ? {} : { torque: { ...torque, of: harmless(torque.of) } }),
    ...(isolation === undefined ? {} : { isolation: isolationText(isolation) }),
    isolationFails: isolation !== undefined && !isApart(isolation),
  };
}

function isolationText({ value }: Isolation): string {
  return value.kind === 'over' ? 'OL' : formatOhms(value.ohms);
}

function viewFamilies(board: Board, parts: readonly number[]): FamilyView[] {
  const families = new Map<Family, number[]>();
  for (const index of parts) {
    const part = board.parts[index];
    if (part === undefined) continue;
    const family = familyOf(part);
    families.set(family, [...(families.get(family) ?? []), index]);
  }
  return [...families].map(([family, own]) => {
    const { words, source } = MARKS[family];
    return { family, words, source, parts: partNames(board, own) };
  });
}
