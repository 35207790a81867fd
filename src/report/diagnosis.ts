import type { DiagnosisView, FaultSetView, SuspectView } from './diagnosis-view.ts';
import type { Style } from './style.ts';
import { compareNames, counted, listOf, percent, runsOf } from './words.ts';
import { labelled, wrap } from './wrap.ts';

/** The fault sets that explain every reading, heaviest first, then doubts and omissions. */
export function diagnosisLines(view: DiagnosisView, style: Style, most = 8): string[] {
  return [
    ...setLines(view, style, most),
    ...suspectLines(view, style, most),
    ...presentLines(view, style),
    ...clearedLines(view, style),
    ...doubtLines(view, style),
    ...linkLines(view, style),
  ];
}

export function setLines(view: DiagnosisView, style: Style, most: number): string[] {
  if (view.sets.length === 0) return ['No listed fault explains the readings.'];
  const lines = ['What would explain every reading:'];
  lines.push(...setRows(view.sets.slice(0, most), style));
  const rest = view.sets.slice(most);
  const restWeight = rest.reduce((sum, set) => sum + set.weight, 0);
  if (rest.length > 0) {
    const text = `in ${counted(rest.length, 'lighter explanation')}`;
    lines.push(...labelled(weightLabel(restWeight), text, 12, style.width));
  }
  if (view.leftOut >= 0.001) {
    const text = 'or less was not looked at';
    lines.push(...labelled(weightLabel(view.leftOut), text, 12, style.width));
  }
  return lines;
}

export function suspectLines(view: DiagnosisView, style: Style, most: number): string[] {
  const shown = view.suspects.filter(({ weight }) => weight >= 0.01);
  if (shown.length === 0) return [];
  const lines = ['Suspects:'];
  const classes = classesOf(shown);
  for (const [first, ...others] of classes.slice(0, most)) {
    if (first === undefined) continue;
    const modes = first.modes.slice(0, 2).map(({ mode }) => mode);
    const names = [first, ...others].map(({ part }) => part);
    const each = others.length > 0 ? ' each (alike so far)' : '';
    const text = `${runsOf(names, 12)}${each}, ${first.kind}: ${modes.join(' or ')}`;
    lines.push(...labelled(weightLabel(first.weight), text, 12, style.width));
  }
  if (classes.length > most) lines.push(`  and ${classes.length - most} more`);
  return lines;
}

/** The fault sets tell the board's whole history; this, what of it is there now. */
function presentLines(view: DiagnosisView, style: Style): string[] {
  const text = `that something on the board now has failed in a way a meter shows`;
  return labelled(weightLabel(view.faultWeight), text, 12, style.width);
}

export function clearedLines(view: DiagnosisView, style: Style): string[] {
  if (view.cleared.length === 0) return [];
  const names = view.cleared.map(({ part }) => part);
  return labelled('Cleared', runsOf(names, 24), 12, style.width).map(style.palette.good);
}

/** A row for each fault set. */
export function setRows(sets: readonly FaultSetView[], style: Style): string[] {
  return sets.flatMap(({ weight, text, wrongReadings }) =>
    labelled(weightLabel(weight), text + ifWrongText(wrongReadings), 12, style.width),
  );
}

/** Suspects that nothing tells apart stand together. */
function classesOf(suspects: readonly SuspectView[]): SuspectView[][] {
  const classes = new Map<string, SuspectView[]>();
  for (const suspect of suspects) {
    const isAlone = suspect.alike.length < 2;
    const key = isAlone ? suspect.part : `${suspect.alike.join(' ')} ${percent(suspect.weight)}`;
    const held = classes.get(key);
    if (held === undefined) classes.set(key, [suspect]);
    else held.push(suspect);
  }
  return [...classes.values()].map((held) => held.toSorted((a, b) => compareNames(a.part, b.part)));
}

/** Readings to take again. */
export function doubtLines(view: DiagnosisView, style: Style): string[] {
  const lines: string[] = [];
  if (view.contradictory) lines.push(...contradictionLines(view, style));
  const shown = view.doubtful.filter(({ weight }) => view.contradictory || weight >= 0.2);
  const most = Math.max(4, view.wrongSets[0]?.readings.length ?? 0);
  for (const { id, text, weight } of shown.slice(0, most)) {
    const full = `reading ${id}, ${text} (${percent(weight)} that it is wrong)`;
    lines.push(...labelled('Take again', full, 12, style.width));
  }
  return lines.map(style.palette.warn);
}

/** Which readings cannot all be right: `either reading 4 is wrong (70 %), or readings 2 and 7 (9 %)`. */
function contradictionLines({ wrongSets }: DiagnosisView, style: Style): string[] {
  const [first, ...others] = wrongSets;
  const head = 'The readings contradict each other';
  if (first === undefined) return wrap(`${head}.`, style.width);
  const one = wrongText(first.readings, first.weight);
  const rest = others.map(({ readings, weight }) => wrongText(readings, weight)).join(', or ');
  const text = others.length === 0 ? one : `either ${one}, or ${rest}`;
  return wrap(`${head}: ${text}.`, style.width);
}

/** What the board file may lack, and how to say that it is so. */
export function linkLines(view: DiagnosisView, style: Style): string[] {
  return view.missingLinks.slice(0, 3).flatMap(({ nets, weight }) => {
    const text = `The board file may lack a connection between ${nets.join(' and ')} (${percent(weight)}).`;
    const how = `If the board is made so, say "link ${nets.join(' ')}"; a bridge comes off, then say "clean ${nets.join(' ')}".`;
    return wrap(`${text} ${how}`, style.width).map(style.palette.warn);
  });
}

function ifWrongText(ids: readonly number[]): string {
  return ids.length === 0 ? '' : `, if ${areWrong(ids)}`;
}

function wrongText(ids: readonly number[], weight: number): string {
  return `${areWrong(ids)} (${percent(weight)})`;
}

/** `reading 4 is wrong`, `readings 2 and 7 are wrong`. */
function areWrong(ids: readonly number[]): string {
  const names = listOf(ids.map(String));
  return ids.length === 1 ? `reading ${names} is wrong` : `readings ${names} are wrong`;
}

/** A weight at the left of a row, its digits under each other. */
export function weightLabel(weight: number): string {
  return `  ${percent(weight).padStart(8)} `.trimEnd();
}
