/** What an eye looks at first: the parts that fail on this kind of board, and those named at intake. */
import type { Board, Part } from '../board/model.ts';
import type { Learnt } from '../faults/learnt.ts';
import type { DerivedJob } from './derive.ts';

/** Why a part is on the list. */
export type LookReason =
  | 'named at intake'
  | 'like what was named at intake'
  | 'fails first'
  | 'dries out'
  | 'on a heatsink'
  | 'takes the surge'
  | 'plugged and strained'
  | 'often failed';

/** Parts looked at as one: a bank, or one part. */
export interface LookItem {
  readonly parts: readonly number[];
  readonly reasons: readonly LookReason[];
  /** Weight among the others, any scale. */
  readonly weight: number;
  /** Those of them nobody has looked at yet, as they are now. */
  readonly open: readonly number[];
  /** On how many of the last boards of this model one of them was found failed; absent: on none. */
  readonly past?: { readonly failed: number; readonly boards: number };
}

/** Kinds that show it outside when age gets at them. */
const DRIES_OUT: ReadonlySet<string> = new Set(['electrolytic']);
/** Kinds that take what comes in from outside. */
const SURGE: ReadonlySet<string> = new Set([
  'fuse',
  'varistor',
  'thermistor',
  'suppressor',
  'bridge-rectifier',
]);
/** How much likelier an eye finds something there than the failure rate alone says; estimates. */
const FACTOR: Readonly<Record<LookReason, number>> = {
  'named at intake': 1000,
  'like what was named at intake': 10,
  'fails first': 3,
  'dries out': 3,
  'on a heatsink': 2,
  'takes the surge': 3,
  'plugged and strained': 3,
  'often failed': 1,
};
/** More than this nobody goes through one by one. */
const MOST_ITEMS = 12;
/** Parts that share less than this of the heaviest weight are left to the meter. */
const LEAST_SHARE = 0.02;

/**
 * The parts to look at, heaviest first.
 * @param chance by part: chance that it failed, before any reading
 * @param past how often parts were found failed on boards like this one
 */
export function lookOver(
  board: Board,
  job: DerivedJob,
  chance: (part: number) => number,
  past?: Learnt['past'],
): LookItem[] {
  const remarks = remarksOf(board, job);
  // A new piece was looked at when it was fitted.
  const seen = new Set([
    ...job.evidence.looks.flatMap(({ part }) => part ?? []),
    ...job.evidence.replacedAt.keys(),
  ]);
  const items = groupsOf(board).map((parts): LookItem => {
    const reasons = reasonsOf(parts, remarks);
    const factor = reasons.reduce((product, reason) => product * FACTOR[reason], 1);
    const weight = factor * parts.reduce((sum, { index }) => sum + chance(index), 0);
    const numbers = parts.map(({ index }) => index);
    const open = numbers.filter((part) => !seen.has(part));
    const failed = Math.max(0, ...parts.map(({ name }) => past?.failed.get(name) ?? 0));
    const before = failed === 0 || past === undefined ? {} : { past: { ...past, failed } };
    return { parts: numbers, reasons, weight, open, ...before };
  });
  const ranked = items.sort((a, b) => b.weight - a.weight);
  const named = ranked.filter(({ reasons }) => reasons.includes('named at intake'));
  const others = ranked.filter((item) => !named.includes(item));
  const least = (others[0]?.weight ?? 0) * LEAST_SHARE;
  const heavy = others.filter(({ weight }) => weight > 0 && weight >= least);
  return [...named, ...heavy.slice(0, Math.max(0, MOST_ITEMS - named.length))];
}

/** Parts of a bank are one look; a link or test point is none. */
function groupsOf(board: Board): Part[][] {
  const groups = new Map<string, Part[]>();
  for (const part of board.parts) {
    if (part.kind.link || part.kind.name === 'test-point') continue;
    const key = part.bank === undefined ? `part ${part.index}` : `bank ${part.bank}`;
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [part]);
    else group.push(part);
  }
  return [...groups.values()];
}

/** What was said at intake, as words, and the parts that photos were tied to. */
interface Remarks {
  readonly words: ReadonlySet<string>;
  readonly parts: ReadonlySet<number>;
}

function remarksOf(board: Board, { intake }: DerivedJob): Remarks {
  const { customer, arrived, marking, photos } = intake;
  const texts = [...customer, ...arrived, ...marking, ...photos].map(({ text = '' }) => text);
  const words = texts.flatMap((text) => text.match(/[\p{L}\p{N}_+-]+/gu) ?? []);
  const said = new Set(words.map((word) => word.toLowerCase()));
  const named = board.parts.filter(({ name }) => said.has(name.toLowerCase()));
  const shown = photos.flatMap(({ part }) => part ?? []);
  return {
    words: new Set(words.map((word) => singular(word.toLowerCase()))),
    parts: new Set([...named.map(({ index }) => index), ...shown]),
  };
}

function singular(word: string): string {
  return word.length > 3 ? word.replace(/s$/u, '') : word;
}

function reasonsOf(parts: readonly Part[], remarks: Remarks): readonly LookReason[] {
  const [first] = parts;
  if (first === undefined) return [];
  const { kind } = first;
  const isNamed = parts.some(({ index }) => remarks.parts.has(index));
  const found: LookReason[] = [];
  if (isNamed) found.push('named at intake');
  else if (isLikeNamed(first, remarks)) found.push('like what was named at intake');
  if (parts.some(({ failsFirst }) => failsFirst)) found.push('fails first');
  if (DRIES_OUT.has(kind.name)) found.push('dries out');
  if (parts.some(({ heatsink }) => heatsink !== undefined)) found.push('on a heatsink');
  if (SURGE.has(kind.name)) found.push('takes the surge');
  if (kind.name === 'connector') found.push('plugged and strained');
  return found.length === 0 ? OFTEN_FAILED : found;
}

const OFTEN_FAILED: readonly LookReason[] = ['often failed'];

function isLikeNamed({ kind }: Part, { words }: Remarks): boolean {
  if (words.size === 0) return false;
  return [...kind.name.split('-'), ...kind.title.toLowerCase().split(/[^\p{L}]+/u)].some(
    (word) => word.length > 3 && word !== 'part' && words.has(singular(word)),
  );
}
