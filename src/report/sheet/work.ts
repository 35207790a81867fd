import type { Board } from '../../board/model.ts';
import { harmless } from '../../board/shown-text.ts';
import { formatQuantity } from '../../board/units.ts';
import type { DerivedJob } from '../../job/derive.ts';
import type { RecheckPart } from '../../job/recheck.ts';
import { type Identity, identityOf } from '../../job/repair/identity.ts';
import type { JointsTouched, ReplacedPart } from '../../job/work-done.ts';
import { netName, partName, partNames, pinName } from '../names.ts';
import { compareNames, counted, runsOf } from '../words.ts';
import { seenAt } from './arrival.ts';
import { groundText } from './found.ts';

/** What was done: parts used, the two kinds of work apart; parts put back; joints; copper. */
export interface WorkView {
  /** By what was fitted: how many, and where. */
  readonly used: readonly UsedView[];
  readonly replaced: readonly ReplacedView[];
  readonly putBack: readonly string[];
  /** Off the board or in the air still. */
  readonly missing: readonly string[];
  readonly joints: readonly string[];
  readonly copper: readonly string[];
  readonly checks: readonly string[];
  /** What eyes found once the repair was done. */
  readonly seen: readonly string[];
}

export interface UsedView {
  readonly count: number;
  readonly what: string;
  readonly partNumber?: string;
  readonly places: readonly string[];
}

export interface ReplacedView {
  readonly part: string;
  readonly kind: string;
  readonly event: number;
  /** Whether it had failed, or was renewed beside one that had. */
  readonly work: 'failed' | 'renewed';
  readonly why: string;
}

export interface WorkFacts {
  readonly board: Board;
  readonly job: DerivedJob;
  readonly replaced: readonly ReplacedPart[];
  readonly handled: readonly RecheckPart[];
  readonly joints: JointsTouched;
}

export function viewWork(facts: WorkFacts): WorkView {
  const { board, job, replaced, handled, joints } = facts;
  const back = handled.filter(({ fate }) => fate === 'put back');
  const off = handled.filter(({ fate }) => fate === 'off the board');
  const inAir = joints.lifted.filter(
    ({ back: put, pin }) => put === undefined && isLifted(job, pin),
  );
  return {
    used: usedParts(board, replaced),
    replaced: replaced.map((one) => ({
      part: partName(board, one.part),
      kind: board.parts[one.part]?.kind.title ?? '',
      event: one.event,
      work: one.failed ? 'failed' : 'renewed',
      why: groundText(board, one),
    })),
    putBack: back.map(({ part, since }) => `${partName(board, part)}, event ${since}`),
    missing: [
      ...off.map(
        ({ part, since }) => `${partName(board, part)} off the board since event ${since}`,
      ),
      ...inAir.map(({ pin, event }) => `${pinName(board, pin)} lifted since event ${event}`),
    ],
    joints: jointTexts(board, joints),
    copper: copperTexts(board, job),
    checks: checkTexts(board, job),
    seen: seenAt(board, job, false).map(({ event, text }) => `${text} (event ${event})`),
  };
}

function isLifted(job: DerivedJob, pin: number): boolean {
  return job.evidence.state.lifted.has(pin);
}

/** What one line of an order covers is one row. */
function usedParts(board: Board, replaced: readonly ReplacedPart[]): UsedView[] {
  const groups = new Map<string, { of: Identity; places: string[]; count: number }>();
  for (const { part, pieces } of replaced) {
    const known = board.parts[part];
    if (known === undefined) continue;
    const of = identityOf(known);
    const held = groups.get(of.key) ?? { of, places: [], count: 0 };
    held.count += pieces;
    held.places.push(partName(board, part));
    groups.set(of.key, held);
  }
  return [...groups.values()].map(({ of, places, count }) => ({
    count,
    what: harmless([of.title, of.value, of.package, of.text].filter(Boolean).join(', ')),
    ...(of.partNumber === undefined ? {} : { partNumber: harmless(of.partNumber) }),
    places: places.toSorted(compareNames),
  }));
}

function jointTexts(board: Board, { ofParts, lifted, reflowed }: JointsTouched): string[] {
  const count = ofParts.reduce((sum, { pins }) => sum + pins.length, 0);
  const names = partNames(
    board,
    ofParts.map(({ part }) => part),
  ).sort(compareNames);
  return [
    ...(count > 0
      ? [`unsoldered and soldered: all of ${runsOf(names, 16)}, ${counted(count, 'joint')}`]
      : []),
    ...lifted.map(({ pin, event, back }) => {
      const after = back === undefined ? 'not put back by itself' : `put back, event ${back}`;
      return `${pinName(board, pin)} lifted, event ${event}, ${after}`;
    }),
    ...reflowTexts(board, reflowed),
  ];
}

/** Joints heated again at one time for one reason are one line. */
function reflowTexts(board: Board, reflowed: JointsTouched['reflowed']): string[] {
  const groups = new Map<string, string[]>();
  for (const { pin, event, kind, because } of reflowed) {
    const why = because === 'stressed' ? kind : `${kind}, ${because}`;
    const key = `reflowed, event ${event}, ${why}`;
    groups.set(key, [...(groups.get(key) ?? []), pinName(board, pin)]);
  }
  return [...groups].map(([key, pins]) => `${runsOf(pins, 12)} ${key}`);
}

function copperTexts(board: Board, job: DerivedJob): string[] {
  return job.active.flatMap(({ event, say }) => {
    const end = `event ${event.n}`;
    if (say.do === 'mend') return [`broken copper of ${netName(board, say.net)} mended, ${end}`];
    if (say.do !== 'clean' && say.do !== 'link') return [];
    const names = say.nets.map((net) => netName(board, net)).join(' and ');
    return say.do === 'clean'
      ? [`a bridge between ${names} removed, ${end}`]
      : [`a connection between ${names} that the board file lacks, ${end}`];
  });
}

/** Tabs against their heatsinks, and what was ticked off for a part. */
function checkTexts(board: Board, job: DerivedJob): string[] {
  const tabs = job.isolations.map(({ part, value, event }) => {
    const shown = value.kind === 'over' ? 'OL' : formatQuantity(value.ohms, 'Ω');
    return `${partName(board, part)}, tab to heatsink ${shown}, event ${event}`;
  });
  const byItem = new Map<string, string[]>();
  for (const { part, item } of job.ticks) {
    byItem.set(item, [...(byItem.get(item) ?? []), partName(board, part)]);
  }
  const ticks = [...byItem].map(([item, names]) => {
    return `${item}: ${runsOf([...new Set(names)].sort(compareNames), 16)}`;
  });
  return [...tabs, ...ticks];
}
