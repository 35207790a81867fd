import { harmless } from '../../board/shown-text.ts';
import type { KindFit } from '../../job/memory/kind-fit.ts';
import type { ModelSummary } from '../../job/memory/store.ts';
import type { Style } from '../style.ts';
import { counted } from '../words.ts';
import { wrap } from '../wrap.ts';

/** All models that the memory knows. */
export interface MemoryView {
  /** Folder of the job records. */
  readonly folder: string;
  /** Host, port and name of the database that the benches share. */
  readonly database?: string;
  /** New jobs start from it. */
  readonly inUse: boolean;
  readonly models: readonly ModelRow[];
  /** How the handbooks fit, by kind of part. */
  readonly kinds: readonly KindFit[];
  /** Jobs that were forgotten. */
  readonly forgotten: readonly string[];
  readonly merged: readonly { readonly name: string; readonly into: string }[];
}

interface ModelRow {
  readonly model: string;
  readonly jobs: number;
  readonly teaching: number;
  /** The parts found failed on most boards. */
  readonly fails: readonly { readonly part: string; readonly boards: number }[];
}

/** One model in a line. */
export function modelRow({ model, fails, ...counts }: ModelSummary): ModelRow {
  return {
    model: harmless(model),
    ...counts,
    fails: fails.map(({ part, boards }) => ({ part: harmless(part), boards })),
  };
}

/** All models, and what people put right. */
export function memoryLines(view: MemoryView, { width, palette }: Style): string[] {
  const { models, forgotten, merged, inUse } = view;
  const off = inUse
    ? []
    : ['The memory is switched off: new jobs start from the handbooks alone.', ''];
  if (models.length === 0) {
    const where = view.database === undefined ? `in ${view.folder}` : `at ${view.database}`;
    return [...off, `No job record ${where} teaches anything yet.`].flatMap((text) =>
      wrap(text, width),
    );
  }
  return [
    ...off.flatMap((text) => wrap(text, width)),
    ...models.flatMap((row) => rowLines(row, width, palette.strong)),
    ...kindLines(view.kinds, width),
    ...merged.flatMap(({ name, into }) => wrap(`"${name}" counts as "${into}".`, width)),
    ...(forgotten.length === 0 ? [] : wrap(`Forgotten: ${forgotten.join(', ')}`, width)),
    '',
    ...wrap('One model: trace-short memory MODEL', width),
  ];
}

/** Longer lists say how much more there is. */
const MOST_KINDS = 8;

function kindLines(kinds: readonly KindFit[], width: number): string[] {
  if (kinds.length === 0) return [];
  const lines = kinds.slice(0, MOST_KINDS).flatMap(({ kind, found, expected, times }) => {
    const text = `${kind}: ${times} times as often (${found} found failed, ${expected} expected)`;
    return wrap(text, width - 2).map((line) => `  ${line}`);
  });
  const more = kinds.length - MOST_KINDS;
  return [
    '',
    ...wrap('By kind of part, beside the handbooks:', width),
    ...lines,
    ...(more > 0 ? wrap(`… and ${counted(more, 'more kind')}; --json lists them all.`, width) : []),
  ];
}

function rowLines(
  { model, jobs, teaching, fails }: ModelRow,
  width: number,
  strong: (text: string) => string,
): string[] {
  const parts = fails.map(({ part, boards }) => `${part} on ${boards}`);
  const found =
    parts.length === 0 ? 'nothing found failed yet' : `failed most: ${parts.join(', ')}`;
  const text = `${counted(jobs, 'job')}, ${teaching} of them teach; ${found}`;
  return [...wrap(model, width).map(strong), ...wrap(text, width - 2).map((line) => `  ${line}`)];
}
