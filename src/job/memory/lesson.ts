/** What one job teaches: all that the memory keeps of it, by names, and no word of any person. */
import { createHash } from 'node:crypto';
import { dutyOf } from '../../board/duty.ts';
import type { Board, Part } from '../../board/model.ts';
import type { Bench } from '../../faults/diagnose.ts';
import { jointName, unitOf } from '../../faults/learnt.ts';
import type { DerivedJob } from '../derive.ts';
import { findings } from '../findings.ts';
import { gates } from '../gates.ts';
import type { RawJob } from '../read-record.ts';
import { type HealthyParts, recheck } from '../recheck.ts';
import { workStages } from '../stage-of.ts';
import { timeSpent } from '../time-spent.ts';
import { type ReplacedPart, replacedParts } from '../work-done.ts';
import { type ActionMinutes, actionMinutes, handMinutes } from './action-minutes.ts';
import { type Expected, expectedOn } from './expected.ts';
import { FOUND_FROM, type Teaching, teaching } from './teaching.ts';

export interface Lesson {
  /** Of the record's first line: a copy of the record teaches nothing anew. */
  readonly job: string;
  readonly board: string;
  readonly revision?: string;
  /** ISO time of the last entry. */
  readonly at: string;
  /** How much the job teaches, and why. */
  readonly teaches: Teaching;
  /** Parts found failed. */
  readonly failed: readonly FoundFailed[];
  /** Parts that were renewed and not found failed, by name. */
  readonly renewed: readonly string[];
  /** Parts shown healthy. */
  readonly cleared: readonly { readonly part: string; readonly by: ClearedBy }[];
  /** Joints found cracked or off their pads: `Q1.D`. */
  readonly joints: readonly string[];
  /** Banks in which several parts were found failed. */
  readonly banks: readonly string[];
  /** What was found failed, a bank as one (`bank NAME`), in order: two of them went together. */
  readonly units: readonly string[];
  /** What the handbooks would have had fail, by kind. */
  readonly expected: Expected;
  readonly minutes: ActionMinutes;
  /** The same by who did the work, as far as the record names them. */
  readonly hands?: Readonly<Record<string, ActionMinutes>>;
  /** Minutes at the bench by stage. */
  readonly stages: Readonly<Record<string, number>>;
  /** What is written on the board, as a sum nobody can read back; tells a board that came back. */
  readonly marking?: string;
  /** Only where the shop lets its database have them. */
  readonly words?: JobWords;
}

/** What a job's record has from its customer. */
export interface JobWords {
  /** The customer's words. */
  readonly customer: readonly string[];
  /** How the board arrived. */
  readonly arrived: readonly string[];
}

export interface FoundFailed {
  readonly part: string;
  readonly kind: string;
  /** What it is there for, as {@link dutyOf} tells it. */
  readonly duty: string;
  readonly how?: 'short' | 'open';
  readonly by: FoundBy;
  /** 0–1: how far it is shown that this part had failed. */
  readonly sure: number;
  /** Its bank, where others of it had failed as well. */
  readonly bank?: string;
}

export type FoundBy = 'own legs' | 'its work cleared' | 'look' | 'one of several';
export type ClearedBy = 'own legs' | 'put back';

/** Ours: a reading of the part itself leaves next to no doubt, a look leaves some. */
const SURE = { 'own legs': 1, 'its work cleared': 0.9, look: 0.7, 'one of several': 0.9 } as const;

export interface LessonFacts {
  readonly bench: Bench;
  readonly healthy: HealthyParts;
  /** Stretches longer than this are left out, min. */
  readonly awayAfter: number;
}

/** The name a job goes by in the memory: of its record's first line. */
export function jobId({ opening, openedAt }: Pick<RawJob, 'opening' | 'openedAt'>): string {
  return sumOf([opening.board, opening.digest, openedAt]);
}

/** What a job teaches, from its record and its board alone. */
export function lessonOf(
  board: Board,
  raw: RawJob,
  job: DerivedJob,
  { bench, healthy, awayAfter }: LessonFacts,
): Lesson {
  const { name, revision } = board;
  const found = findings(board, job, healthy);
  const { parts } = recheck(board, job, healthy);
  const replaced = replacedParts(board, job, { findings: found, parts });
  const each = failedParts(board, replaced, found, parts);
  const banks = banksTogether(board, each);
  const failed = each.map((one) => {
    const bank = board.partNamed.get(one.part)?.bank;
    return bank !== undefined && banks.includes(bank) ? { ...one, bank } : one;
  });
  const failedNames = new Set(failed.map(({ part }) => part));
  const joints = crackedJoints(board, job);
  const isProven = gates(board, job, healthy).every(({ holds }) => holds);
  const sure = failed.filter((one) => one.sure >= FOUND_FROM);
  const hands = handMinutes(board, raw, job, awayAfter);
  const marking = job.intake.marking.map(({ text }) => text.trim().toLowerCase()).sort();
  return {
    job: jobId(raw),
    board: raw.opening.board || name,
    ...(revision === undefined ? {} : { revision }),
    at: raw.events.at(-1)?.at ?? raw.openedAt,
    teaches: teaching(job, { isProven, found: failed.length + joints.length }),
    failed,
    renewed: replaced
      .map(({ part }) => nameOf(board, part))
      .filter((part) => !failedNames.has(part)),
    cleared: parts.flatMap(({ part, fate, own }) => {
      const by: ClearedBy | undefined =
        own.length > 0 && own.every(({ fault }) => fault === undefined)
          ? 'own legs'
          : fate === 'put back'
            ? 'put back'
            : undefined;
      const name = nameOf(board, part);
      return by === undefined || failedNames.has(name) ? [] : [{ part: name, by }];
    }),
    joints,
    banks,
    units: [...new Set(sure.map(({ part }) => unitNamed(board, part)))].sort(),
    expected: expectedOn(board, bench),
    minutes: actionMinutes(board, raw, job, awayAfter),
    ...(Object.keys(hands).length === 0 ? {} : { hands }),
    stages: stageMinutes(raw, job, awayAfter),
    ...(marking.length === 0 ? {} : { marking: sumOf(marking) }),
  };
}

function failedParts(
  board: Board,
  replaced: readonly ReplacedPart[],
  found: ReturnType<typeof findings>,
  rechecked: ReturnType<typeof recheck>['parts'],
): FoundFailed[] {
  const alone = replaced.flatMap(({ part, failed, ground }): FoundFailed[] => {
    if (!failed || ground.why === 'bank' || ground.why === 'renewed') return [];
    const own = rechecked.find((one) => one.part === part)?.own ?? [];
    const how =
      ground.why === 'own legs'
        ? own.find(({ ofOldPiece, fault }) => ofOldPiece && fault !== undefined)?.fault
        : ground.why === 'its work cleared'
          ? ground.turn.was
          : undefined;
    return [{ ...basics(board, part, how), by: ground.why, sure: SURE[ground.why] }];
  });
  const known = new Set(alone.map(({ part }) => part));
  const renewed = new Set(replaced.map(({ part }) => part));
  // Work on several at once turned a reading, and none of them is shown to have failed: one of them did.
  const shared = found.flatMap(({ by, parts, turns }): FoundFailed[] => {
    const open = parts.filter((part) => renewed.has(part));
    if (by !== 'repair' || open.length < 2) return [];
    if (open.some((part) => known.has(nameOf(board, part)))) return [];
    for (const part of open) known.add(nameOf(board, part));
    return open.map((part) => ({
      ...basics(board, part, turns[0]?.was),
      by: 'one of several',
      sure: SURE['one of several'] / open.length,
    }));
  });
  return [...alone, ...shared];
}

function basics(
  board: Board,
  index: number,
  how: FoundFailed['how'],
): Pick<FoundFailed, 'part' | 'kind' | 'duty' | 'how'> {
  const part = board.parts[index] as Part;
  const { name, kind } = part;
  const left = how === undefined ? {} : { how };
  return { part: name, kind: kind.name, duty: dutyOf(board, part), ...left };
}

function unitNamed({ partNamed }: Board, name: string): string {
  return unitOf(partNamed.get(name) ?? { name });
}

function banksTogether(board: Board, failed: readonly FoundFailed[]): string[] {
  const counts = new Map<string, number>();
  for (const { part, sure } of failed) {
    const bank = board.partNamed.get(part)?.bank;
    if (bank !== undefined && sure >= FOUND_FROM) counts.set(bank, (counts.get(bank) ?? 0) + 1);
  }
  return [...counts].filter(([, count]) => count > 1).map(([bank]) => bank);
}

function crackedJoints(board: Board, { evidence: { looks } }: DerivedJob): string[] {
  const found = looks.flatMap(({ pin, finding }) => {
    const own = pin === undefined ? undefined : board.pins[pin];
    const isOpen = finding === 'cracked' || finding === 'off its pad';
    return own !== undefined && isOpen ? [jointName(board, own)] : [];
  });
  return [...new Set(found)];
}

function stageMinutes(raw: RawJob, job: DerivedJob, awayAfter: number): Record<string, number> {
  const stages = workStages(job);
  const { byStage } = timeSpent(raw.openedAt, raw.events, {
    awayAfter,
    stageOf: (n) => stages.get(n),
  });
  return Object.fromEntries(
    [...byStage].map(([stage, minutes]) => [stage, Number(minutes.toFixed(1))]),
  );
}

function nameOf({ parts }: Board, part: number): string {
  return parts[part]?.name ?? '';
}

function sumOf(texts: readonly string[]): string {
  return createHash('sha256').update(JSON.stringify(texts)).digest('hex').slice(0, 16);
}
