import type { Board } from '../board/model.ts';
import { harmless } from '../board/shown-text.ts';
import type { MeterMode, Probe } from '../circuit/reading.ts';
import { printProbe } from '../job/print-say.ts';
import {
  type OwnReading,
  type PartFate,
  RECHECK_CHANGES,
  type Recheck,
  type RecheckChange,
  type RecheckPair,
  type RecheckPart,
  type RecheckPhase,
  type Seen,
} from '../job/recheck.ts';
import { printValue } from '../job/value.ts';
import { legOrPoint, MODE_WORDS, netName, partName, partNames, pinName } from './names.ts';
import type { Style } from './style.ts';
import { counted, listOf, runsOf } from './words.ts';
import { labelled, wrap } from './wrap.ts';

/** A job's readings beside each other: what is shown, and what `--json` prints. */
export interface RecheckView {
  readonly phase: RecheckPhase;
  readonly differs: boolean;
  readonly counts: Readonly<Record<RecheckChange, number>>;
  readonly pairs: readonly RecheckPairView[];
  readonly parts: readonly RecheckPartView[];
  /** What to read next, and why; in the order to read it. */
  readonly toRead: readonly ToReadView[];
}

export interface RecheckPairView {
  readonly red: string;
  readonly black: string;
  readonly change: RecheckChange;
  readonly rail?: string;
  /** Parts that were handled and have this pair of pads. */
  readonly parts: readonly string[];
  readonly asFound?: SeenView;
  readonly partsOff?: SeenView;
  readonly putBack?: SeenView;
}

export interface SeenView {
  /** Number of the event in the record. */
  readonly event: number;
  readonly value: string;
  readonly verdict: Seen['verdict'];
  /** How the board differed then, or that the readings do not agree; empty mostly. */
  readonly note: string;
}

export interface RecheckPartView {
  readonly part: string;
  readonly kind: string;
  readonly fate: PartFate;
  readonly since: number;
  readonly own: readonly {
    readonly event: number;
    readonly legs: readonly string[];
    readonly value: string;
    /** Set when a healthy part would not read so. */
    readonly fault?: 'short' | 'open';
    readonly ofOldPiece: boolean;
  }[];
  /** Of its pads, in the column that counts now. */
  readonly pads: readonly {
    readonly red: string;
    readonly black: string;
    readonly change: RecheckChange;
  }[];
}

export interface ToReadView {
  /** As it is typed, less the value: `P48 GND`. */
  readonly probe: string;
  readonly mode: MeterMode;
  readonly why: string;
}

/** Puts names in place of the board numbers of a recheck. */
export function viewRecheck(board: Board, found: Recheck): RecheckView {
  const { phase, differs, pairs, parts } = found;
  const count = (change: RecheckChange): number =>
    pairs.filter((pair) => pair.change === change).length;
  const counts = Object.fromEntries(RECHECK_CHANGES.map((change) => [change, count(change)]));
  return {
    phase,
    differs,
    counts: counts as Record<RecheckChange, number>,
    pairs: pairs.map((pair) => viewPair(board, pair)),
    parts: parts.map((part) => viewPart(board, part, pairs)),
    toRead: toRead(board, found),
  };
}

const INDENT = 16;

/** Worst first; pairs that read as before are only counted. */
export function recheckLines(view: RecheckView, style: Style): string[] {
  const rows = RECHECK_CHANGES.filter((change) => isTold(change, view.phase)).flatMap((change) =>
    view.pairs
      .filter((pair) => pair.change === change)
      .flatMap((pair) =>
        labelled(change, pairText(pair), INDENT, style.width).map(markOf(change, style)),
      ),
  );
  return [
    ...headLines(view, style),
    ...rows,
    ...partLines(view, style),
    ...toReadLines(view, style),
  ];
}

/** `not read again` says little before anything was taken off. */
function isTold(change: RecheckChange, phase: RecheckPhase): boolean {
  if (change === 'as before' || change === 'first read') return false;
  return phase !== 'untouched' || change === 'still short';
}

const PHASE_TEXT: Readonly<Record<RecheckPhase, string>> = {
  untouched: 'Nothing has been taken off or put right yet',
  'parts off': 'With parts off or legs lifted',
  'put back': 'Since everything was put back',
};

function headLines(view: RecheckView, style: Style): string[] {
  const told = RECHECK_CHANGES.filter((change) => view.counts[change] > 0);
  const summary = told.map((change) => `${view.counts[change]} ${change}`).join(', ');
  const pairs = counted(view.pairs.length, 'pair');
  const text = `${PHASE_TEXT[view.phase]}, ${pairs}${summary === '' ? '' : `: ${summary}`}`;
  return wrap(text, style.width).map(style.palette.strong);
}

/** `P48 GND: as found beep (5), parts off quiet (31), put back 19.3 kohm (44)`. */
function pairText(pair: RecheckPairView): string {
  const columns = [
    ...seenText('as found', pair.asFound),
    ...seenText('parts off', pair.partsOff),
    ...seenText('put back', pair.putBack),
  ];
  const values = columns.length === 0 ? 'not read yet' : columns.join(', ');
  return `${pair.red} ${pair.black}${placeText(pair)}: ${values}`;
}

/** What the pair is: a rail, pads of a part that was handled, or neither. */
export function placeText({ rail, parts }: RecheckPairView): string {
  if (rail !== undefined) return ` (rail ${rail})`;
  return parts.length === 0 ? '' : ` (pads of ${runsOf(parts, 6)})`;
}

function seenText(label: string, seen: SeenView | undefined): string[] {
  if (seen === undefined) return [];
  const note = seen.note === '' ? '' : `, ${seen.note}`;
  return [`${label} ${seen.value} (${seen.event}${note})`];
}

function markOf(change: RecheckChange, { palette }: Style): (text: string) => string {
  if (change === 'newly short' || change === 'still short') return palette.bad;
  return change === 'cleared' || change === 'put right' ? palette.good : palette.warn;
}

function partLines(view: RecheckView, style: Style): string[] {
  if (view.parts.length === 0) return [];
  const rows = view.parts.flatMap((part) =>
    labelled(part.part, partText(part), INDENT, style.width),
  );
  return ['Parts by themselves:', ...rows];
}

function partText(part: RecheckPartView): string {
  const own =
    part.own.length === 0 ? 'not read on its own legs' : `on its own legs ${ownText(part)}`;
  const pads = part.pads.length === 0 ? '' : `on its pads ${padText(part)}`;
  return [`${part.fate} (${part.since})`, own, pads].filter(Boolean).join('; ');
}

/** What a part read on its own legs. */
export function ownText({ own, fate }: RecheckPartView): string {
  if (own.length === 0) return 'not read';
  const rows = own.map(({ event, legs, value, fault, ofOldPiece }) => {
    const piece = fate === 'replaced' ? (ofOldPiece ? 'old piece ' : 'new piece ') : '';
    return `${piece}${legs.join(' to ')} ${value}${fault === undefined ? '' : `, ${fault}`} (${event})`;
  });
  return rows.join(', ');
}

/** How its pads read now. */
export function padText({ pads }: RecheckPartView): string {
  const open = pads.filter(({ change }) => !CLEAR_NOW.has(change));
  if (pads.length === 0) return '';
  if (open.length === 0) return 'clear';
  return listOf(open.map(({ red, black, change }) => `${red} ${black} ${change}`));
}

const CLEAR_NOW: ReadonlySet<RecheckChange> = new Set([
  'cleared',
  'put right',
  'as before',
  'first read',
]);

function toReadLines(view: RecheckView, style: Style): string[] {
  if (view.toRead.length === 0) return [];
  const shown = view.toRead.slice(0, 12);
  const more = view.toRead.length - shown.length;
  const rows = shown.flatMap(({ probe, mode, why }) =>
    wrap(`- ${probe} (${MODE_WORDS[mode]}): ${why}`, style.width),
  );
  return ['To read next:', ...rows, ...(more > 0 ? [`… and ${more} more`] : [])];
}

function toRead(board: Board, { phase, pairs, parts }: Recheck): ToReadView[] {
  if (phase === 'untouched') return [];
  const open = pairs.filter(({ change }) => change === 'not read again');
  const order = ({ rail, parts: own }: RecheckPair): number =>
    rail !== undefined ? 0 : own.length > 0 ? 1 : 2;
  const again = open
    .toSorted((x, y) => order(x) - order(y))
    .map((pair) => asked(board, pair.probe, whyAgain(board, pair)));
  const legs = parts
    .filter(({ fate, own }) => fate === 'off the board' && own.length === 0)
    .flatMap(({ part }) => {
      const probe = legProbe(board, part);
      const why = `${partName(board, part)} is off the board; its own legs tell whether it failed`;
      return probe === undefined ? [] : [asked(board, probe, why)];
    });
  return [...legs, ...again];
}

function asked(board: Board, probe: Probe, why: string): ToReadView {
  return { probe: harmless(printProbe(board, probe)), mode: probe.mode, why };
}

function whyAgain(board: Board, pair: RecheckPair): string {
  const { last, putBack } = pair;
  const place = whatIsThere(board, pair);
  if (putBack?.verdict === 'untold') return `${place}a beep tells nothing here, ohms do`;
  if (last === undefined) return `${place}not read yet`;
  return `${place}last read ${printValue(last)} in event ${last.id}`;
}

function whatIsThere(board: Board, { rail, parts }: RecheckPair): string {
  if (rail !== undefined) return `rail ${harmless(board.rails[rail]?.name ?? '')}, `;
  return parts.length === 0 ? '' : `pads of ${runsOf(partNames(board, parts), 4)}, `;
}

/** Between the first two pins that its kind fails short between, or its first two. */
function legProbe(board: Board, part: number): Probe | undefined {
  const { pins = [], kind } = board.parts[part] ?? {};
  const named = (name: string): number | undefined =>
    pins.find((pin) => board.pins[pin]?.name === name);
  const joins = kind?.modes.flatMap((mode) => mode.joins) ?? [];
  const known = joins
    .map(([a, b]) => [named(a), named(b)] as const)
    .find(([a, b]) => a !== undefined && b !== undefined);
  const [a = pins[0], b = pins[1]] = known ?? [];
  if (a === undefined || b === undefined) return undefined;
  const point = (pin: number) => ({ pin, net: board.pins[pin]?.net ?? -1 });
  return { mode: 'ohms', red: point(a), black: point(b), offPart: part };
}

function viewPair(board: Board, pair: RecheckPair): RecheckPairView {
  const { probe, change, rail, asFound, partsOff, putBack } = pair;
  return {
    red: legOrPoint(board, probe, probe.red),
    black: legOrPoint(board, probe, probe.black),
    change,
    ...(rail === undefined ? {} : { rail: harmless(board.rails[rail]?.name ?? '') }),
    parts: partNames(board, pair.parts),
    ...(asFound === undefined ? {} : { asFound: viewSeen(board, asFound) }),
    ...(partsOff === undefined ? {} : { partsOff: viewSeen(board, partsOff) }),
    ...(putBack === undefined ? {} : { putBack: viewSeen(board, putBack) }),
  };
}

function viewSeen(board: Board, { reading, verdict, lifted, off, times, alike }: Seen): SeenView {
  const notes = [
    ...(lifted.length > 0
      ? [
          `${listOf(
            lifted.map((pin) => pinName(board, pin)),
            3,
          )} lifted`,
        ]
      : []),
    ...(off.length > 0 ? [`${runsOf(partNames(board, off), 3)} off`] : []),
    ...(alike ? [] : [`read ${times} times, not alike`]),
  ];
  return { event: reading.id, value: printValue(reading), verdict, note: notes.join(', ') };
}

function viewPart(
  board: Board,
  found: RecheckPart,
  pairs: readonly RecheckPair[],
): RecheckPartView {
  const { part, fate, since, own, pads } = found;
  return {
    part: partName(board, part),
    kind: board.parts[part]?.kind.title ?? '',
    fate,
    since,
    own: own.map((one) => viewOwn(board, one)),
    pads: pairs
      .filter(({ key }) => pads.includes(key))
      .map(({ probe, change }) => ({
        red: netName(board, probe.red.net),
        black: netName(board, probe.black.net),
        change,
      })),
  };
}

function viewOwn(board: Board, one: OwnReading): RecheckPartView['own'][number] {
  const { reading, fault, ofOldPiece } = one;
  const legs = [reading.red, reading.black].map((point) => legOrPoint(board, reading, point));
  return {
    event: reading.id,
    legs,
    value: printValue(reading),
    ofOldPiece,
    ...(fault === undefined ? {} : { fault }),
  };
}
