import { doubtLines, linkLines } from './diagnosis.ts';
import type { DiagnosisView } from './diagnosis-view.ts';
import type { Style } from './style.ts';
import { compareNames, counted, percent, runsOf } from './words.ts';
import { labelled } from './wrap.ts';

/** What one recorded line changed. */
export interface ChangeView {
  /** The lines recorded, as the record writes them, with their numbers. */
  readonly recorded: readonly { readonly n: number; readonly say: string }[];
  /** Suspects whose weight moved, the largest move first; `after` 0 when it is a suspect no more. */
  readonly moved: readonly {
    readonly part: string;
    readonly before: number;
    readonly after: number;
  }[];
  readonly newlyCleared: readonly string[];
  readonly after: DiagnosisView;
}

/** Lines of moved suspects shown. */
const MOST_MOVES = 5;

/** Compares what the readings left standing before and after. */
export function viewChange(
  recorded: ChangeView['recorded'],
  before: DiagnosisView,
  after: DiagnosisView,
): ChangeView {
  const was = new Map(before.suspects.map(({ part, weight }) => [part, weight]));
  const is = new Map(after.suspects.map(({ part, weight }) => [part, weight]));
  const parts = [...new Set([...was.keys(), ...is.keys()])];
  const moved = parts
    .map((part) => ({ part, before: was.get(part) ?? 0, after: is.get(part) ?? 0 }))
    .filter((move) => Math.abs(move.after - move.before) >= 0.005)
    .sort((a, b) => size(b) - size(a) || a.part.localeCompare(b.part));
  const known = new Set(before.cleared.map(({ part }) => part));
  const newlyCleared = after.cleared.map(({ part }) => part).filter((part) => !known.has(part));
  return { recorded, moved, newlyCleared, after };
}

export function changeLines(view: ChangeView, style: Style): string[] {
  const lines = view.recorded.map(({ n, say }) => `${String(n).padStart(4)}  ${say}`);
  const moves = groupMoves(view.moved);
  for (const { parts, text } of moves.slice(0, MOST_MOVES)) {
    const each = parts.length > 1 ? ' each' : '';
    lines.push(...labelled('', `${runsOf(parts, 12)}${each} ${text}`, 6, style.width));
  }
  const more = moves.slice(MOST_MOVES).reduce((sum, { parts }) => sum + parts.length, 0);
  if (more > 0) lines.push(`      and ${counted(more, 'other part')}`);
  if (view.newlyCleared.length > 0) {
    const text = `cleared: ${runsOf(view.newlyCleared.toSorted(compareNames), 20)}`;
    lines.push(...labelled('', text, 6, style.width).map(style.palette.good));
  }
  const [best] = view.after.sets;
  // Once the fault is off the board, what it was is no news.
  if (best !== undefined && view.after.faultWeight >= 0.05) {
    lines.push(...labelled('Likeliest', `${best.text} (${percent(best.weight)})`, 11, style.width));
  }
  return [...lines, ...doubtLines(view.after, style), ...linkLines(view.after, style)];
}

/** Parts that moved alike are told in one line. */
function groupMoves(moved: ChangeView['moved']): { parts: string[]; text: string }[] {
  const groups = new Map<string, string[]>();
  for (const { part, before, after } of moved) {
    const way = after > before ? 'up' : 'down';
    const text = `${way} to ${percent(after)} (was ${percent(before)})`;
    const held = groups.get(text);
    if (held === undefined) groups.set(text, [part]);
    else held.push(part);
  }
  return [...groups].map(([text, parts]) => ({ parts: parts.toSorted(compareNames), text }));
}

function size(move: { readonly before: number; readonly after: number }): number {
  return Math.abs(move.after - move.before);
}
