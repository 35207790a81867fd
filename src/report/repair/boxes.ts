/** The boxes to tick for one part of the fit list, in the order of work. */
import type { Part } from '../../board/model.ts';
import type { Isolation } from '../../job/bench-log.ts';
import { type Fastening, isApart } from '../../job/repair/fastening.ts';
import type { Ticks } from '../../job/repair/ticks.ts';
import type { TickItem } from '../../job/say.ts';
import type { BoxView } from './model.ts';

export interface BoxFacts {
  readonly part: Part;
  readonly isNew: boolean;
  readonly ticks: Ticks;
  /** Holes its legs sit in; absent where nothing tells. */
  readonly holes?: number;
  readonly isInSet: boolean;
  readonly isEitherWay: boolean;
  readonly fastening?: Fastening;
  readonly isolation?: Isolation;
  /** Event that fitted the new piece. */
  readonly fittedAt?: number;
}

/** Only what this part needs: no insulator for a part without a heatsink, no matching for one alone. */
export function boxesOf(facts: BoxFacts): BoxView[] {
  const { part, fastening, fittedAt } = facts;
  const ticked = (item: TickItem): BoxView => {
    const event = facts.ticks.get(item);
    return {
      item,
      isTicked: event !== undefined,
      ...(event === undefined ? {} : { event }),
      say: `tick ${part.name} ${item}`,
    };
  };
  const isFastened = fastening !== undefined;
  const isInsulated = isFastened && !['same net', 'in the body'].includes(fastening.insulator);
  return [
    ...(facts.isNew ? [] : [ticked('tested'), ticked('cleaned')]),
    ...(facts.isNew && facts.isInSet ? [ticked('matched')] : []),
    ...(facts.holes === 0 ? [] : [ticked('holes clear')]),
    ...(facts.isEitherWay ? [] : [ticked('oriented')]),
    ...(isInsulated ? [ticked('insulator')] : []),
    ...(isFastened ? [ticked('fastened')] : []),
    ...(isFastened && fastening.insulator !== 'same net' ? [isolationBox(facts)] : []),
    {
      item: 'fitted',
      isTicked: fittedAt !== undefined,
      ...(fittedAt === undefined ? {} : { event: fittedAt }),
      say: `${facts.isNew ? 'replace' : 'refit'} ${part.name}`,
    },
  ];
}

/** Ticked by a reading that shows tab and heatsink apart, and by nothing else. */
function isolationBox({ part, isolation }: BoxFacts): BoxView {
  const isTicked = isolation !== undefined && isApart(isolation);
  return {
    item: 'isolation',
    isTicked,
    ...(isTicked ? { event: isolation.event } : {}),
    say: `isolation ${part.name} OL`,
  };
}
