import type { Board } from '../../board/model.ts';
import { harmless } from '../../board/shown-text.ts';
import { isOpen } from '../../job/repair/list.ts';
import type { MendItem, RepairItem, RepairList } from '../../job/repair/model.ts';
import { netName, partName, pinName } from '../names.ts';
import type { FitView, InsulatorView, MendView, RepairView } from './model.ts';
import { viewFit } from './view-fit.ts';
import { viewDonors, viewOrders } from './view-orders.ts';
import { viewPull } from './view-pull.ts';

/** The repair list with names in place of numbers. */
export function viewRepair(board: Board, list: RepairList): RepairView {
  const sure = list.items
    .filter(({ need }) => need === 'sure')
    .sort((a, b) => Number(a.isDue) - Number(b.isDue) || a.part - b.part);
  const inCase = list.items
    .filter(({ need }) => need === 'in case')
    .sort((a, b) => hundredths(b) - hundredths(a) || a.part - b.part);
  const fit = viewFit(board, list);
  return {
    board: harmless(board.name),
    purpose: list.purpose,
    counts: {
      renew: sure.length,
      fitted: sure.filter(({ doneAt }) => doneAt !== undefined).length,
      inCase: inCase.length,
      goBack: list.goesBack.length,
      due: sure.filter(({ isDue }) => isDue).length,
    },
    get: viewOrders(board, sure),
    inCase: viewOrders(board, inCase),
    insulators: insulatorsFor(fit),
    mend: list.mend.map((item) => viewMend(board, item)),
    pull: viewPull(board, list),
    fit,
    donors: viewDonors(board, sure.filter(isOpen)),
  };
}

/** As a weight is shown: what looks the same stands in the board's order. */
function hundredths({ weight }: RepairItem): number {
  return Math.round(weight * 100);
}

/** One for each tab still to be fastened that has, or may have, something under it. */
function insulatorsFor({ groups }: FitView): InsulatorView[] {
  const counts = new Map<string, InsulatorView>();
  for (const { isFitted, fastening, boxes } of groups.flatMap(({ parts }) => parts)) {
    const box = boxes.find(({ item }) => item === 'insulator');
    if (isFitted || fastening === undefined || box === undefined || box.isTicked) continue;
    const { package: pack, between } = fastening;
    const key = `${between ?? ''} ${pack}`;
    const quantity = (counts.get(key)?.quantity ?? 0) + 1;
    counts.set(key, { package: pack, ...(between === undefined ? {} : { between }), quantity });
  }
  return [...counts.values()];
}

function viewMend(board: Board, item: MendItem): MendView {
  const { what, part, pin, nets, weight, seenAt } = item;
  const seen = seenAt === undefined ? {} : { seenAt };
  if (what === 'joint' && pin !== undefined) {
    const text = `joint ${pinName(board, pin)}: heat it again with fresh solder`;
    return { what, text, weight, ...seen };
  }
  if (part !== undefined) {
    const text = `${partName(board, part)} sits the wrong way round: turn it, and test it on its own legs first`;
    return { what, text, weight };
  }
  const [a = '', b = ''] = (nets ?? []).map((net) => netName(board, net));
  const text =
    what === 'copper'
      ? `copper of ${a}: look for a break, mend it with wire`
      : `between ${a} and ${b}: look for a solder bridge, dirt or an unlisted link`;
  return { what, text, weight, ...seen };
}
