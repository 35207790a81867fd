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

/** What changed as lines of text: what was recorded, who moved, who is cleared, what is likeliest now. */
export function changeLines(view: ChangeView, style: Style): string[] {
  const lines = recordedLines(view.recorded, style);
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

/** From so many looks in a row on they are told in one line. */
const LEAST_RUN = 4;

/** Each line with its number; a run of parts that look sound in one. */
function recordedLines(recorded: ChangeView['recorded'], { width }: Style): string[] {
  const lines: string[] = [];
  for (let at = 0; at < recorded.length; ) {
    const run = soundRun(recorded.slice(at));
    const { n = 0, say = '' } = recorded[at] ?? {};
    if (run.length < LEAST_RUN) {
      lines.push(`${String(n).padStart(4)}  ${say}`);
      at += 1;
      continue;
    }
    const last = n + run.length - 1;
    lines.push(
      ...labelled(`${String(n).padStart(4)}–${last}`, `looks sound: ${runsOf(run, 20)}`, 6, width),
    );
    at += run.length;
  }
  return lines;
}

function soundRun(recorded: ChangeView['recorded']): string[] {
  const names = recorded.map(({ say }) => /^look (\S+) looks sound$/.exec(say)?.[1]);
  const end = names.indexOf(undefined);
  return names.slice(0, end < 0 ? names.length : end).flatMap((name) => name ?? []);
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
