import { columnsOf, harmless } from '../board/shown-text.ts';
import type { WaitsFor } from '../job/glance.ts';
import type { SignOffResult } from '../job/say.ts';
import type { WorkStage } from '../job/stage-of.ts';
import type { Style } from './style.ts';
import { counted, listOf } from './words.ts';
import { minutesOf } from './worth.ts';
import { labelled, wrap } from './wrap.ts';

/** One job of a shelf, in names: what is shown, and what `--json` prints. */
export interface ShelfRow {
  /** The job file, as other commands take it. */
  readonly job: string;
  /** Absent for a file that is too damaged to say. */
  readonly board?: string;
  readonly purpose?: 'repair' | 'refurbish';
  /** Absent where the board file is not to be had. */
  readonly stage?: WorkStage;
  readonly waitsFor: WaitsFor | 'mending';
  /** What holds it up; for a file that cannot be read, why not. */
  readonly heldUpBy: string;
  readonly signOff?: SignOffResult;
  /** At the bench so far. */
  readonly minutes?: number;
  /** ISO time of the last entry. */
  readonly lastEntry?: string;
  /** The next step, where it was asked for. */
  readonly next?: string;
}

export interface ShelfView {
  readonly folder: string;
  /** What waits for a hand first, longest left alone first; signed off last. */
  readonly jobs: readonly ShelfRow[];
}

/** What is waited for, in the order a shelf is gone through. */
const ORDER: readonly ShelfRow['waitsFor'][] = ['bench', 'time', 'parts', 'mending', 'nothing'];

/** Jobs in the order in which somebody should turn to them. */
export function sortedShelf(rows: readonly ShelfRow[]): ShelfRow[] {
  const rank = ({ waitsFor }: ShelfRow): number => ORDER.indexOf(waitsFor);
  return rows.toSorted(
    (a, b) =>
      rank(a) - rank(b) || compared(a.lastEntry ?? '', b.lastEntry ?? '') || compared(a.job, b.job),
  );
}

function compared(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

/** From this width on a job is one row of a table. */
const TABLE_WIDTH = 110;
const MOST_COLUMNS = 30;

/** The shelf as a table where it fits, else a job in a few lines. */
export function shelfLines({ folder, jobs }: ShelfView, style: Style): string[] {
  if (jobs.length === 0) return wrap(`No jobs in ${harmless(folder)}.`, style.width);
  const rows =
    style.width >= TABLE_WIDTH
      ? tableLines(jobs, style)
      : jobs.flatMap((row) => blockLines(row, style));
  return [...rows, '', ...wrap(summary(jobs), style.width)];
}

function blockLines(row: ShelfRow, { width, palette }: Style): string[] {
  const facts = [
    stageText(row),
    ...(row.minutes === undefined ? [] : [minutesOf(row.minutes)]),
    ...(row.lastEntry === undefined ? [] : [`last entry ${dayOf(row.lastEntry)}`]),
  ];
  const board = row.board === undefined ? [] : labelled('', harmless(row.board), 4, width);
  return [
    ...labelled(`${harmless(row.job)} `, facts.join(', '), 4, width).map((line, k) =>
      k === 0 ? palette.strong(line) : line,
    ),
    ...board.map(palette.quiet),
    ...textsOf(row).flatMap((text) => labelled('', text, 4, width)),
  ];
}

const HEADS = ['Job', 'Board', 'Stage', 'Time', 'Last entry', 'Held up by; next'] as const;

function tableLines(jobs: readonly ShelfRow[], { width, palette }: Style): string[] {
  const cells = jobs.map((row) => [
    harmless(row.job),
    harmless(row.board ?? ''),
    stageText(row),
    row.minutes === undefined ? '' : wrap(minutesOf(row.minutes), 40).join(' '),
    row.lastEntry === undefined ? '' : dayOf(row.lastEntry),
  ]);
  const widths = HEADS.slice(0, -1).map((head, k) =>
    Math.min(MOST_COLUMNS, Math.max(...[head, ...cells.map((row) => row[k] ?? '')].map(columnsOf))),
  );
  const last = width - widths.reduce((sum, each) => sum + each + 2, 0);
  const lines = cells.flatMap((row, k) =>
    beside([...row, textsOf(jobs[k] as ShelfRow).join('\n')], [...widths, Math.max(20, last)]),
  );
  const head = beside(HEADS, [...widths, Math.max(20, last)]);
  return [...head.map(palette.strong), ...lines];
}

/** Texts side by side, each wrapped in its own column. */
function beside(texts: readonly string[], widths: readonly number[]): string[] {
  const columns = texts.map((text, k) => wrap(text, widths[k] ?? 20));
  const height = Math.max(...columns.map(({ length }) => length));
  return Array.from({ length: height }, (_, line) =>
    columns
      .map((column, k) => {
        const text = column[line] ?? '';
        return text + ' '.repeat(Math.max(0, (widths[k] ?? 0) - columnsOf(text)));
      })
      .join('  ')
      .trimEnd(),
  );
}

function stageText({ stage, board, signOff, waitsFor }: ShelfRow): string {
  if (signOff !== undefined) return `signed off: ${signOff}`;
  if (waitsFor === 'mending') return board === undefined ? 'cannot be read' : 'board not read';
  return stage ?? '';
}

function textsOf({ heldUpBy, next }: ShelfRow): string[] {
  return [
    ...(heldUpBy === '' ? [] : [harmless(heldUpBy)]),
    ...(next === undefined ? [] : [`Next: ${harmless(next)}`]),
  ];
}

function dayOf(iso: string): string {
  return iso.slice(0, 10);
}

const COUNTED: Readonly<Record<ShelfRow['waitsFor'], string>> = {
  bench: 'for the bench',
  time: 'soaking',
  parts: 'waiting for parts',
  mending: 'that cannot be read',
  nothing: 'signed off',
};

/** `5 jobs: 3 for the bench, 1 waiting for parts and 1 signed off`. */
function summary(jobs: readonly ShelfRow[]): string {
  const parts = ORDER.flatMap((waitsFor) => {
    const count = jobs.filter((row) => row.waitsFor === waitsFor).length;
    return count === 0 ? [] : [`${count} ${COUNTED[waitsFor]}`];
  });
  const minutes = jobs.reduce((sum, row) => sum + (row.minutes ?? 0), 0);
  return `${counted(jobs.length, 'job')}: ${listOf(parts)}; ${minutesOf(minutes)} at the bench in all.`;
}
