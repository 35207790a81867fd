/** What was done to the board, part by part and joint by joint. */
import type { Board } from '../board/model.ts';
import type { Look, LookFinding, TakenReading } from '../faults/evidence.ts';
import type { ActiveEvent, DerivedJob } from './derive.ts';
import type { Finding, Turn } from './findings.ts';
import type { RecheckPart } from './recheck.ts';
import { type ReflowWork, reflowWork } from './reflow-work.ts';

/** Why a part was replaced: what showed that it had failed, or that it was renewed beside one. */
export type Ground =
  | { readonly why: 'own legs'; readonly reading: TakenReading }
  | { readonly why: 'its work cleared'; readonly turn: Turn }
  | { readonly why: 'look'; readonly look: Look }
  | { readonly why: 'bank'; readonly bank: string }
  | { readonly why: 'renewed' };

export interface ReplacedPart {
  readonly part: number;
  /** Event of the last replacement, and how many pieces were fitted. */
  readonly event: number;
  readonly pieces: number;
  readonly failed: boolean;
  readonly ground: Ground;
}

/** Joints that were heated, by what was done to them. */
export interface JointsTouched {
  /** Of parts that came off, went in, or both: all their joints. */
  readonly ofParts: readonly { readonly part: number; readonly pins: readonly number[] }[];
  /** Legs that were raised by themselves, and the event that put them back; none while in the air. */
  readonly lifted: readonly {
    readonly pin: number;
    readonly event: number;
    readonly back?: number;
  }[];
  readonly reflowed: readonly ReflowWork[];
}

const SEEN_FAILED: ReadonlySet<LookFinding> = new Set([
  'burnt',
  'cracked',
  'leaking',
  'missing',
  'wrong part',
]);

/** The parts that were replaced, those that had failed first, each with what showed it. */
export function replacedParts(
  board: Board,
  job: DerivedJob,
  known: { readonly findings: readonly Finding[]; readonly parts: readonly RecheckPart[] },
): ReplacedPart[] {
  const events = replacements(job.active);
  const direct = [...events.keys()].map((part) => ({
    part,
    ground: directGround(job, part, known),
  }));
  const failed = new Set(direct.filter(({ ground }) => ground !== undefined).map((d) => d.part));
  const banks = new Set([...failed].map((part) => board.parts[part]?.bank));
  const all = direct.map(({ part, ground }): ReplacedPart => {
    const own = events.get(part) ?? [];
    const bank = board.parts[part]?.bank;
    const beside: Ground =
      bank !== undefined && banks.has(bank) ? { why: 'bank', bank } : { why: 'renewed' };
    return {
      part,
      event: own.at(-1) ?? 0,
      pieces: own.length,
      failed: ground !== undefined,
      ground: ground ?? beside,
    };
  });
  return all.sort((x, y) => Number(y.failed) - Number(x.failed) || x.event - y.event);
}

/** By part: the events that fitted a new piece. */
function replacements(active: readonly ActiveEvent[]): Map<number, number[]> {
  const events = new Map<number, number[]>();
  for (const { event, say } of active) {
    if (say.do !== 'replace') continue;
    for (const part of say.parts) events.set(part, [...(events.get(part) ?? []), event.n]);
  }
  return events;
}

/** A reading of the part itself says most, then a reading that its work alone turned, then a look. */
function directGround(
  job: DerivedJob,
  part: number,
  known: { readonly findings: readonly Finding[]; readonly parts: readonly RecheckPart[] },
): Ground | undefined {
  const own = known.parts.find((one) => one.part === part)?.own ?? [];
  const bad = own.find(({ ofOldPiece, fault }) => ofOldPiece && fault !== undefined);
  if (bad !== undefined) return { why: 'own legs', reading: bad.reading };
  const alone = known.findings.find(
    ({ by, parts, turns }) =>
      by === 'repair' && parts.length === 1 && parts[0] === part && turns.length > 0,
  );
  const [turn] = alone?.turns ?? [];
  // What reads healthy on its own legs was not the cause, whatever else came right with it.
  if (turn !== undefined && own.every(({ ofOldPiece }) => !ofOldPiece)) {
    return { why: 'its work cleared', turn };
  }
  const look = job.evidence.looks.find((one) => one.part === part && SEEN_FAILED.has(one.finding));
  return look === undefined ? undefined : { why: 'look', look };
}

/**
 * Every joint that was heated.
 * @param isAccused whether the readings before an event accused a joint of being open
 */
export function jointsTouched(
  board: Board,
  job: DerivedJob,
  isAccused?: (pin: number, before: number) => boolean,
): JointsTouched {
  const parts = new Set<number>();
  const lifted: { pin: number; event: number; back?: number }[] = [];
  for (const { event, say } of job.active) {
    if (say.do === 'lift') lifted.push(...say.pins.map((pin) => ({ pin, event: event.n })));
    if (say.do === 'remove' || say.do === 'replace') for (const part of say.parts) parts.add(part);
    if (say.do !== 'refit' && say.do !== 'replace') continue;
    for (const leg of lifted) {
      const own = board.pins[leg.pin]?.part ?? -1;
      if (say.parts.includes(own)) leg.back ??= event.n;
    }
  }
  return {
    ofParts: [...parts].map((part) => ({ part, pins: board.parts[part]?.pins ?? [] })),
    lifted,
    reflowed: reflowWork(board, job, isAccused),
  };
}
