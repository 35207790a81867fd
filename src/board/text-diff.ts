/** Lines told round each change. */
const CONTEXT = 3;

/** A stretch of old lines that new ones take the place of; from 0, `to` not included. */
interface Change {
  readonly from: number;
  readonly to: number;
  readonly lines: readonly string[];
}

/**
 * What was changed between two texts that are mostly alike, as a unified diff that `patch` takes.
 * @returns nothing where they are the same
 */
export function unifiedDiff(before: string, after: string, name: string): string {
  const [old, fresh] = [linesOf(before), linesOf(after)];
  const changes = changesBetween(old, fresh);
  if (changes.length === 0) return '';
  let shift = 0;
  const hunks = grouped(changes).map((group) => {
    const text = hunk(old, group, shift);
    for (const { from, to, lines } of group) shift += lines.length - (to - from);
    return text;
  });
  return [`--- ${name}\n+++ ${name}\n`, ...hunks].join('');
}

/** Each with its line break; the last may have none. */
function linesOf(text: string): string[] {
  return text.match(/[^\n]*\n|[^\n]+$/g) ?? [];
}

/** Walks both texts: where they part, the nearest place they meet again is looked for. */
function changesBetween(old: readonly string[], fresh: readonly string[]): Change[] {
  const changes: Change[] = [];
  let [a, b] = [0, 0];
  while (a < old.length || b < fresh.length) {
    if (old[a] === fresh[b]) {
      a += 1;
      b += 1;
      continue;
    }
    const [skipOld, skipFresh] = meeting(old, fresh, a, b);
    changes.push({ from: a, to: a + skipOld, lines: fresh.slice(b, b + skipFresh) });
    a += skipOld;
    b += skipFresh;
  }
  return changes;
}

/** How many lines of each to pass over until three lines, or the rest, are the same again. */
function meeting(
  old: readonly string[],
  fresh: readonly string[],
  a: number,
  b: number,
): [number, number] {
  const [left, right] = [old.length - a, fresh.length - b];
  for (let sum = 1; sum <= left + right; sum++) {
    for (let i = Math.max(0, sum - right); i <= Math.min(sum, left); i++) {
      const j = sum - i;
      // Lines written anew in their place need less to be sure of than lines put in.
      const due = i === j ? [0] : [0, 1, 2];
      const isSame = due.every((k) => old[a + i + k] === fresh[b + j + k]);
      if (isSame) return [i, j];
    }
  }
  return [left, right];
}

/** Changes near each other share a hunk. */
function grouped(changes: readonly Change[]): Change[][] {
  const groups: Change[][] = [];
  for (const change of changes) {
    const last = groups.at(-1);
    const before = last?.at(-1);
    if (last !== undefined && before !== undefined && change.from - before.to <= 2 * CONTEXT) {
      last.push(change);
    } else groups.push([change]);
  }
  return groups;
}

function hunk(old: readonly string[], group: readonly Change[], shift: number): string {
  const from = Math.max(0, (group[0]?.from ?? 0) - CONTEXT);
  const to = Math.min(old.length, (group.at(-1)?.to ?? 0) + CONTEXT);
  const rows: string[] = [];
  let at = from;
  let grown = 0;
  for (const change of group) {
    rows.push(...old.slice(at, change.from).map((line) => ` ${line}`));
    rows.push(...old.slice(change.from, change.to).map((line) => `-${line}`));
    rows.push(...change.lines.map((line) => `+${line}`));
    grown += change.lines.length - (change.to - change.from);
    at = change.to;
  }
  rows.push(...old.slice(at, to).map((line) => ` ${line}`));
  const size = to - from;
  const start = (count: number, first: number): number => (count === 0 ? first : first + 1);
  const head = `@@ -${start(size, from)},${size} +${start(size + grown, from + shift)},${size + grown} @@\n`;
  const body = rows.map((row) =>
    row.endsWith('\n') ? row : `${row}\n\\ No newline at end of file\n`,
  );
  return head + body.join('');
}
