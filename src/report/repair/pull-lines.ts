/** The pull list: what comes off, in bench order, and its place of the tray. */
import type { Style } from '../style.ts';
import { counted, listOf, runsOf } from '../words.ts';
import { GLUE, labelled, wrap } from '../wrap.ts';
import { groupTitle } from './groups.ts';
import type {
  ConventionView,
  LookAlikeView,
  PullGroupView,
  PullPartView,
  PullView,
} from './model.ts';

export function pullLines(view: PullView, style: Style): string[] {
  if (view.groups.length === 0) return [];
  return [
    style.palette.strong('Pull tray'),
    ...wrap(
      'Photograph each part in place, then lay it in its place of the tray, labelled.',
      style.width,
    ),
    ...view.groups.flatMap((group) => groupLines(group, style)),
    ...view.rows.flatMap(({ row, what, parts }) =>
      labelled(`  Row ${row}`, `${what}: ${runsOf(parts, 12)}`, 9, style.width),
    ),
    ...warningLines(view, style),
  ];
}

function groupLines(group: PullGroupView, style: Style): string[] {
  const open = group.parts.filter((part) => !isDone(part));
  const how =
    group.what === 'heatsink' && open.length > 0
      ? ': undo the screws or clips of all of them first, once; then unsolder'
      : '';
  return [
    ...labelled('', `${groupTitle(group)}${how}`, 2, style.width),
    ...(open.length === 0 || group.staying.length === 0
      ? []
      : labelled(
          '  -',
          `${runsOf(group.staying, 8)} stay on it; any that is undone too is fastened and its tab read again.`,
          4,
          style.width,
        )),
    ...doneLines(group.parts.filter(isDone), style),
    ...open.flatMap((part) => openLines(part, style)),
  ];
}

function isDone({ isOff, isMissing }: PullPartView): boolean {
  return isOff || isMissing;
}

/** What is off already, in a row for each fate. */
function doneLines(parts: readonly PullPartView[], style: Style): string[] {
  const rows = new Map<string, PullPartView[]>();
  for (const part of parts) {
    const fate = part.goesBack ? ', off, to go back' : part.isMissing ? ', missing' : ', off';
    rows.set(fate, [...(rows.get(fate) ?? []), part]);
  }
  return [...rows].flatMap(([fate, own]) => {
    const [names, places] = [own.map(({ part }) => part), own.map(({ place }) => place)];
    const text = `${runsOf(names, 12)}${fate} (${runsOf(places, 12)})`;
    return labelled('  [x]', text, 6, style.width).map(style.palette.quiet);
  });
}

function openLines(part: PullPartView, style: Style): string[] {
  const { at } = part;
  const place = at === undefined ? [] : [`at x${GLUE}${at[0]}, y${GLUE}${at[1]}${GLUE}mm`];
  const facts = [...legFacts(part), ...place];
  return labelled(`  [ ] ${part.place}`, [part.part, ...facts].join(', '), 10, style.width);
}

function legFacts({ holes, bigCopper }: PullPartView): string[] {
  return [
    ...(holes === undefined || holes === 0 ? [] : [counted(holes, 'leg')]),
    ...(bigCopper.length === 0 ? [] : [`big copper at ${pinsText(bigCopper)}`]),
  ];
}

/** `D and S` of `Q1.D` and `Q1.S`. */
function pinsText(pins: readonly string[]): string {
  return listOf(
    pins.map((pin) => pin.slice(pin.indexOf('.') + 1)),
    4,
  );
}

/** Look-alikes and opposed marks. */
export function warningLines(view: PullView, style: Style): string[] {
  const warnings = [
    ...view.lookAlikes.map(lookAlikeText),
    ...(view.withoutPackage.length > 1
      ? [
          `The board file gives ${runsOf(view.withoutPackage, 12)} no package: which of them look alike is not known; label each.`,
        ]
      : []),
    ...(view.opposed.length === 0 ? [] : [opposedText(view.opposed)]),
  ];
  return warnings.flatMap((text) => labelled('  !', text, 4, style.width)).map(style.palette.warn);
}

function lookAlikeText({ package: pack, groups, hasNoPrint }: LookAlikeView): string {
  const things = groups.map(({ what, parts }) => `${runsOf(parts, 6)} (${short(what, pack)})`);
  const bare = hasNoPrint ? ' Ceramic chips carry no print.' : '';
  return `Look-alikes in ${pack}, keep them apart: ${listOf(things, 12)}.${bare}`;
}

/** The package is said already. */
function short(what: string, pack: string): string {
  return what.endsWith(`, ${pack}`) ? what.slice(0, -pack.length - 2) : what;
}

/** `Marks that oppose each other: bar on tantalum C29 is plus; …`. */
function opposedText(opposed: readonly ConventionView[]): string {
  const each = opposed.map(
    ({ mark, body, means, parts }) =>
      `the ${mark} on ${body} ${runsOf(parts, 6)} is ${meant(means)}`,
  );
  return `Marks that oppose each other: ${each.join('; ')}.`;
}

function meant(means: ConventionView['means']): string {
  return means === 'cathode' ? 'the cathode' : means;
}
