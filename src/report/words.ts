import { GLUE } from './wrap.ts';

/** `72 %`; never a bare 0 or 100, which would promise more than a weight can. */
export function percent(weight: number): string {
  if (weight < 0.01) return `under 1${GLUE}%`;
  if (weight > 0.99) return `over 99${GLUE}%`;
  return `${Math.round(weight * 100)}${GLUE}%`;
}

/** Bench minutes as a person would say them: `0.3 min`, `14 min`. */
export function minutesText(minutes: number): string {
  const figure = minutes < 9.95 ? Number(minutes.toFixed(1)) : Math.round(minutes);
  return `${figure}${GLUE}min`;
}

/** `A, B and C`; beyond `most` names the rest is counted. */
export function listOf(names: readonly string[], most = 8): string {
  if (names.length > most) {
    const shown = names.slice(0, most - 1);
    return `${shown.join(', ')} and ${names.length - shown.length} more`;
  }
  const last = names.at(-1) ?? '';
  return names.length < 2 ? last : `${names.slice(0, -1).join(', ')} and ${last}`;
}

/** The same with runs of numbers drawn together: `C1–C6, C9 and Q2`. */
export function runsOf(names: readonly string[], most = 8): string {
  const runs: string[][] = [];
  for (const name of names) {
    const run = runs.at(-1);
    if (run !== undefined && follows(run.at(-1) ?? '', name)) run.push(name);
    else runs.push([name]);
  }
  const texts = runs.flatMap((run) => (run.length < 3 ? run : [`${run[0]}–${run.at(-1)}`]));
  return listOf(texts, most);
}

function follows(before: string, name: string): boolean {
  const [, stem, number] = /^(.*?)(\d+)$/.exec(before) ?? [];
  return stem !== undefined && name === `${stem}${Number(number) + 1}`;
}

/** Orders names as people count: `C2` before `C10`. */
export function compareNames(a: string, b: string): number {
  return a.localeCompare(b, 'en', { numeric: true });
}

/** `1 part`, `3 parts`. */
export function counted(count: number, one: string, many: string = `${one}s`): string {
  return `${count} ${count === 1 ? one : many}`;
}

/** The text with a capital first letter. */
export function sentence(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
