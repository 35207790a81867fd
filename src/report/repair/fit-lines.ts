/** The fit list: what goes on, in order, which way round, and the boxes to tick. */
import type { Style } from '../style.ts';
import { listOf, runsOf } from '../words.ts';
import { GLUE, labelled, wrap } from '../wrap.ts';
import { drawText } from './draw.ts';
import { DRAWINGS } from './drawings.ts';
import { groupTitle } from './groups.ts';
import type {
  BoxView,
  FasteningView,
  FitGroupView,
  FitPartView,
  FitView,
  MatchedView,
} from './model.ts';

export function fitLines(view: FitView, style: Style): string[] {
  if (view.groups.length === 0 && view.lifted.length === 0) return [];
  return [
    style.palette.strong('Fit list'),
    ...view.groups.flatMap((group) => groupLines(group, view.hasMains, style)),
    ...(view.lifted.length === 0
      ? []
      : labelled(
          '  [ ]',
          `legs to put back on their pads: ${listOf(view.lifted)}`,
          6,
          style.width,
        )),
    ...view.sets.flatMap((set) => labelled('  -', matchedText(set), 4, style.width)),
    ...familyLines(view, style),
  ];
}

function groupLines(group: FitGroupView, hasMains: boolean, style: Style): string[] {
  const open = group.parts.filter(({ isFitted }) => !isFitted);
  const notes = group.what === 'heatsink' && open.length > 0 ? heatsinkNotes(open, hasMains) : [];
  return [
    ...labelled('', groupTitle(group), 2, style.width),
    ...doneLines(
      group.parts.filter(({ isFitted }) => isFitted),
      style,
    ),
    ...notes.flatMap((note) => labelled('  -', note, 4, style.width)),
    ...open.flatMap((part) => openLines(part, style)),
    ...group.parts.flatMap((part) => warningLines(part, style)),
  ];
}

/** What is fitted, in a row for each set of boxes that nobody ticked. */
function doneLines(parts: readonly FitPartView[], style: Style): string[] {
  const rows = new Map<string, string[]>();
  for (const { part, boxes } of parts) {
    const left = boxes.filter(({ item, isTicked }) => item !== 'fitted' && !isTicked);
    const key = listOf(left.map(words));
    rows.set(key, [...(rows.get(key) ?? []), part]);
  }
  return [...rows].flatMap(([left, names]) => {
    const text = `${runsOf(names, 12)}, fitted${left === '' ? '' : `; not ticked: ${left}`}`;
    return labelled('  [x]', text, 6, style.width).map(style.palette.quiet);
  });
}

/** How the parts of one heatsink are fastened, once for all of them. */
function heatsinkNotes(parts: readonly FitPartView[], hasMains: boolean): string[] {
  const fastened = parts.flatMap(({ fastening }) => fastening ?? []);
  const needsPad = fastened.some(({ insulator }) => insulator === 'needed');
  const asFound = fastened.some(({ insulator }) => insulator === 'as found');
  const torques = [...new Set(fastened.flatMap((each) => torqueText(each) ?? []))];
  return [
    'Fasten before soldering: clean both faces, no burrs; pad or mica and a shoulder washer where ' +
      'the tab is apart, fresh grease on mica; flat washer, no screw head on the plastic; solder last.',
    ...(needsPad
      ? ['Tabs on this heatsink are on different nets: each needs its insulator, the screw too.']
      : []),
    ...(asFound ? ['Whether a tab is insulated is not told: fit what was there.'] : []),
    `Before soldering, read each tab to the heatsink, highest ohms range: OL, or over 20 MΩ.${hasMains ? INSULATION : ''}`,
    ...(torques.length === 0
      ? ['Torque is not known for these packages: the data sheet says.']
      : torques),
  ];
}

const INSULATION = ' A mains side also wants an insulation test, as local codes say.';

function torqueText({ torque }: FasteningView): string | undefined {
  if (torque === undefined) return undefined;
  const { of, screw, from, to, most, source } = torque;
  const figure = from === to ? `${from}` : `${from} to ${to}`;
  const kind = screw === undefined ? '' : `, ${screw} screw`;
  const limit = most === undefined ? '' : `, never over ${most} N·m`;
  return `Torque of ${of}${kind}: ${figure} N·m${limit} (${source}; the data sheet rules). A clip needs none.`;
}

function openLines(part: FitPartView, style: Style): string[] {
  const head = `${part.part} ${part.isNew ? 'new' : 'the same one'}${wayText(part)}`;
  const boxes = boxesText(part.boxes);
  return [
    ...labelled('  [ ]', head, 6, style.width),
    ...(boxes === '' ? [] : labelled('     ', boxes, 6, style.width)),
  ];
}

function warningLines(part: FitPartView, style: Style): string[] {
  const { part: name, fastening, boardMark } = part;
  const texts = [
    ...(part.markDisagrees && !part.isFitted
      ? [
          `${name} is said to be marked "${boardMark}"; such bodies usually are not: look twice, test with a meter`,
        ]
      : []),
    ...(fastening?.isolationFails === true
      ? [
          `${name} reads ${fastening.isolation} to its heatsink: renew its insulator before it is soldered`,
        ]
      : []),
  ];
  return texts.flatMap((text) => labelled('  !', text, 4, style.width)).map(style.palette.warn);
}

function wayText({ ends, isEitherWay, boardMark }: FitPartView): string {
  if (isEitherWay) return ', either way round';
  const marked = boardMark === undefined ? '' : `, ${boardMark}`;
  return ends.length === 0 ? marked : `: ${ends.join(', ')}`;
}

/** `[ ] holes clear  [x] oriented`; what is fitted stands at the front of the row already. */
function boxesText(boxes: readonly BoxView[]): string {
  return boxes
    .filter(({ item }) => item !== 'fitted')
    .map((box) => `[${box.isTicked ? 'x' : GLUE}]${GLUE}${words(box).replaceAll(' ', GLUE)}`)
    .join(`${GLUE} `);
}

function words({ item }: BoxView): string {
  return item === 'isolation' ? 'isolation read' : item;
}

function matchedText(set: MatchedView): string {
  const bank = set.bank === undefined ? '' : ` (bank ${set.bank})`;
  const beside =
    set.staying.length === 0
      ? ''
      : ` Like ${runsOf(set.staying)}, which ${set.staying.length === 1 ? 'stays' : 'stay'}.`;
  const gates =
    set.gateResistors.length < 2
      ? ''
      : ` Gate resistors ${runsOf(set.gateResistors)} alike${set.gateResistorsDiffer ? '; the board file gives them different values' : ''}.`;
  return `${runsOf(set.fitted, 12)}${bank}: a matched set, one part number and one lot.${beside}${gates}`;
}

/** A drawing for each family that has to go the right way round and is not all fitted. */
function familyLines({ families, groups }: FitView, style: Style): string[] {
  const all = groups.flatMap(({ parts }) => parts);
  const open = new Set(all.filter(({ isFitted }) => !isFitted).map(({ part }) => part));
  const turned = families
    .map((family) => ({ ...family, parts: family.parts.filter((part) => open.has(part)) }))
    .filter(({ family, parts }) => family !== 'either way round' && parts.length > 0);
  if (turned.length === 0) return [];
  return [
    ...wrap('Which way round:', style.width),
    ...turned.flatMap(({ family, words: text, parts }) => {
      const drawing = DRAWINGS[family];
      return [
        ...labelled('  -', `${runsOf(parts, 12)}. ${text}`, 4, style.width),
        ...(drawing === undefined ? [] : drawText(drawing).map((line) => `    ${line}`.trimEnd())),
      ];
    }),
  ];
}
