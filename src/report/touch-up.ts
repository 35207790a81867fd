import type { Board } from '../board/model.ts';
import type { DerivedJob } from '../job/derive.ts';
import { type ReflowWork, reflowWork } from '../job/reflow-work.ts';
import { type JointRow, type JointState, touchUp } from '../job/touch-up.ts';
import { partName, pinName } from './names.ts';
import type { Style } from './style.ts';
import { counted, listOf, runsOf } from './words.ts';
import { labelled, wrap } from './wrap.ts';

/** The joints worth a look, in names: what is shown, and what `--json` prints. */
export interface TouchUpView {
  readonly parts: readonly {
    readonly part: string;
    readonly points: number;
    readonly causes: readonly string[];
    readonly joints: readonly {
      readonly pin: string;
      readonly state: JointState;
      readonly event?: number;
      readonly foundIn?: number;
    }[];
  }[];
  readonly leftOff: number;
  readonly joints: number;
  readonly open: number;
  /** Found cracked and not mended. */
  readonly cracked: readonly string[];
  readonly repair: readonly ReflowView[];
  readonly refurbishment: readonly ReflowView[];
}

export interface ReflowView {
  readonly pin: string;
  readonly event: number;
  readonly because: ReflowWork['because'];
  readonly by?: number;
}

/** @param isAccused whether the readings before an event accused a joint of being open */
export function viewTouchUp(
  board: Board,
  job: DerivedJob,
  isAccused?: (pin: number, before: number) => boolean,
): TouchUpView {
  const { rows, leftOff, joints, open, cracked } = touchUp(board, job);
  const work = reflowWork(board, job, isAccused);
  const ofKind = (wanted: ReflowWork['kind']): ReflowView[] =>
    work
      .filter(({ kind }) => kind === wanted)
      .map(({ pin, kind: _, ...rest }) => ({ pin: pinName(board, pin), ...rest }));
  return {
    parts: rows.map((row) => viewRow(board, row)),
    leftOff,
    joints,
    open,
    cracked: cracked.map((pin) => pinName(board, pin)),
    repair: ofKind('repair'),
    refurbishment: ofKind('refurbishment'),
  };
}

function viewRow(
  board: Board,
  { part, points, causes, joints }: JointRow,
): TouchUpView['parts'][number] {
  return {
    part: partName(board, part),
    points,
    causes: causes.map(({ cause }) => cause),
    joints: joints.map(({ pin, ...joint }) => ({ pin: pinName(board, pin), ...joint })),
  };
}

/** The list, parts with the same causes and nothing found together; what was done; how to say it. */
export function touchUpLines(view: TouchUpView, job: string, style: Style): string[] {
  const { width, palette } = style;
  if (view.parts.length === 0) return ['No joint on this board stands out.'];
  const left =
    view.leftOff === 0 ? '' : `; ${counted(view.leftOff, 'part')} with less cause left off`;
  const head = `Joints to look at, the most stressed first: ${counted(view.joints, 'joint')} of ${counted(view.parts.length, 'part')}, ${view.open} still to do${left}.`;
  return [
    ...wrap(head, width).map(palette.strong),
    ...groupsOf(view).flatMap((group) => groupLines(group, style)),
    ...workLines('Repair', view.repair, style),
    ...workLines('Refurbishment', view.refurbishment, style),
    '',
    ...wrap(howText(view, job), width).map(palette.quiet),
  ];
}

function howText({ parts }: TouchUpView, job: string): string {
  const [first] = parts;
  const [joint] = first?.joints ?? [];
  return (
    'Board dead and discharged. Strong light and a glass; press the part gently with something that ' +
    'does not conduct. A ring round the leg is a crack. Say what was found: trace-short log ' +
    `${job} "look ${joint?.pin} cracked", or "look ${first?.part} looks sound", or "reflow ${joint?.pin}". ` +
    'A reflow is a change: the rails are read again after it.'
  );
}

type Row = TouchUpView['parts'][number];

/** Parts that stand in the list for the same causes, and where they stand in it alike. */
function groupsOf({ parts }: TouchUpView): Row[][] {
  const groups = new Map<string, Row[]>();
  for (const row of parts) {
    const key = hasNews(row) ? row.part : `${row.points} ${row.causes.join(';')}`;
    const held = groups.get(key);
    if (held === undefined) groups.set(key, [row]);
    else held.push(row);
  }
  return [...groups.values()];
}

function hasNews({ joints }: Row): boolean {
  return joints.some(({ state }) => state !== 'to look at');
}

const INDENT = 12;

function groupLines(rows: readonly Row[], { width, palette }: Style): string[] {
  const [first] = rows;
  if (first === undefined) return [];
  const names = runsOf(
    rows.map(({ part }) => part),
    12,
  );
  const news = rows.length === 1 ? newsOf(first) : '';
  const isDone =
    news !== '' && first.joints.every(({ state }) => state === 'sound' || state === 'reflowed');
  const isBad = first.joints.some(({ state }) => state === 'cracked');
  const mark = isBad ? palette.bad : isDone ? palette.good : (line: string): string => line;
  const text = `${first.causes.join('; ')}${news === '' ? '' : `. ${news}`}`;
  // A long row of names stands on lines of its own.
  if (names.length > width / 2) {
    return [...wrap(`${names}:`, width), ...labelled('', text, INDENT, width)].map(mark);
  }
  return labelled(`${names}:`, text, INDENT, width).map(mark);
}

/** `D cracked (event 12), G sound; S to look at`. */
function newsOf({ part, joints }: Row): string {
  if (!joints.some(({ state }) => state !== 'to look at')) return '';
  const short = (pin: string): string => pin.slice(part.length + 1);
  const states: readonly JointState[] = ['cracked', 'reflowed', 'sound', 'to look at'];
  return states
    .flatMap((wanted) => {
      const pins = joints.filter(({ state }) => state === wanted);
      if (pins.length === 0) return [];
      const all = pins.length === joints.length && pins.length > 1 ? 'all' : undefined;
      return [
        `${
          all ??
          listOf(
            pins.map(({ pin }) => short(pin)),
            6,
          )
        } ${wanted}`,
      ];
    })
    .join(', ');
}

function workLines(label: string, work: readonly ReflowView[], { width }: Style): string[] {
  if (work.length === 0) return [];
  const each = work.map(({ pin, event, because }) =>
    because === 'stressed' ? `${pin} (event ${event})` : `${pin} (event ${event}, ${because})`,
  );
  return labelled(label, `reflowed ${each.join(', ')}`, 15, width);
}
