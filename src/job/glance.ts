/** Where a job stands, told at a glance from its record, without weighing what could be wrong. */
import type { Board } from '../board/model.ts';
import type { DerivedJob } from './derive.ts';
import type { Gate } from './gates.ts';
import { injectionText } from './injection/rules.ts';
import { ledgerText } from './ledger.ts';
import { listed, partName } from './points.ts';
import type { SignOffResult } from './say.ts';
import { soakState } from './soak.ts';
import type { WorkStage } from './stage-of.ts';

/** What a job waits for: a hand at the bench, parts that were ordered, time to pass, or nothing. */
export type WaitsFor = 'bench' | 'parts' | 'time' | 'nothing';

export interface Glance {
  readonly stage: WorkStage;
  readonly waitsFor: WaitsFor;
  /** What holds it up, one line, the first thing of several; empty when it is signed off. */
  readonly heldUpBy: string;
  readonly signOff?: SignOffResult;
}

export interface GlanceFacts {
  /** Gates of the job; asked for only where the stage depends on them. */
  readonly gates: () => readonly Gate[];
  /** Whether something conducts that a healthy board keeps apart; asked for as rarely. */
  readonly isShorted: () => boolean;
  /** Whether every new part, and every rail that was found joined, was read clear since; asked for as rarely. */
  readonly isRechecked: () => boolean;
  /** Stages of the power-up plan; asked for as rarely. */
  readonly powerStages: () => number;
  /** ms since 1970. */
  readonly now: number;
}

/** Looks at a job; the first of the rules that speaks decides. */
export function glance(board: Board, job: DerivedJob, facts: GlanceFacts): Glance {
  return (
    signedOff(job) ??
    injecting(board, job) ??
    upset(job) ??
    offTheBoard(board, job) ??
    soaking(job, facts.now) ??
    beforeReadings(job) ??
    cold(job, facts) ??
    warm(job, facts)
  );
}

function signedOff({ signOff }: DerivedJob): Glance | undefined {
  if (signOff === undefined) return undefined;
  return { stage: 'sign-off', waitsFor: 'nothing', heldUpBy: '', signOff: signOff.result };
}

/** Something went wrong under power, and nobody has read the board since. */
function upset({ upsets, evidence }: DerivedJob): Glance | undefined {
  const last = upsets.at(-1);
  if (last === undefined || evidence.readings.some(({ id }) => id > last.event)) return undefined;
  if (evidence.lastChange > last.event) return undefined;
  const heldUpBy = `${last.what} went wrong in event ${last.event} (${last.text}): read the board again`;
  return atBench('cold survey', heldUpBy);
}

/** Nobody leaves a supply on a board. */
function injecting(board: Board, { evidence }: DerivedJob): Glance | undefined {
  if (evidence.injection === undefined) return undefined;
  return atBench('isolate', `${injectionText(board, evidence.injection)}: inject off`);
}

/** Parts off the board or legs in the air: it is put together again first. */
function offTheBoard(board: Board, job: DerivedJob): Glance | undefined {
  const { ledger, ticks, evidence } = job;
  const first = ledger[0];
  if (first === undefined) return undefined;
  const off = [...evidence.state.off];
  const ordered = off.filter((part) => {
    const since = evidence.replacedAt.get(part) ?? 0;
    return ticks.some(
      (tick) => tick.item === 'ordered' && tick.part === part && tick.event > since,
    );
  });
  if (ordered.length > 0) {
    const heldUpBy = `${named(board, ordered)} ordered`;
    return { stage: 'repair', waitsFor: 'parts', heldUpBy };
  }
  const more = ledger.length > 1 ? ` and ${ledger.length - 1} more` : '';
  const heldUpBy = `${ledgerText(board, first)}${more} to be put back or renewed`;
  const isRepair = evidence.replacedAt.size > 0;
  return atBench(isRepair ? 'repair' : 'isolate', heldUpBy);
}

function soaking(job: DerivedJob, now: number): Glance | undefined {
  const soak = soakState(job, now);
  switch (soak.state) {
    case 'running': {
      const heldUpBy = `soak runs, ${Math.ceil(soak.left / 60)} min left`;
      return { stage: 'soak', waitsFor: 'time', heldUpBy };
    }
    case 'time is up':
      return atBench('soak', 'soak is over and not passed yet');
    case 'passed':
      return TO_SIGN_OFF;
    default:
      return undefined;
  }
}

function beforeReadings({ evidence, intake, skips }: DerivedJob): Glance | undefined {
  if (evidence.readings.length > 0 || evidence.lastChange > 0) return undefined;
  const isTakenIn = intake.customer.length + intake.arrived.length > 0;
  const isLookedOver =
    evidence.looks.length > 0 || skips.some(({ stage }) => stage === 'look-over');
  if (!isTakenIn && !isLookedOver) {
    return atBench('intake', 'nothing said of it yet');
  }
  return isLookedOver
    ? atBench('cold survey', 'no reading taken yet')
    : atBench('look-over', 'not looked over yet');
}

/** Not read clear yet: what the first open gate asks for. */
function cold(
  { evidence }: DerivedJob,
  { gates, isShorted, isRechecked }: GlanceFacts,
): Glance | undefined {
  const open = gates().find(({ holds }) => !holds);
  if (open === undefined) return undefined;
  const heldUpBy = open.needs[0] ?? open.name;
  if (isShorted()) return atBench('isolate', heldUpBy);
  // Rails that nothing was wrong with are read with the rest of the board.
  const isRecheck = evidence.lastChange > 0 && !isRechecked();
  return atBench(isRecheck ? 'recheck' : 'cold survey', heldUpBy);
}

/** Every rail and new part read clear, everything on the board; whether enough was read, weighing tells. */
function warm(job: DerivedJob, { powerStages }: GlanceFacts): Glance {
  const { evidence, skips, functions } = job;
  const skipped = (name: 'touch-up' | 'soak'): boolean => skips.some(({ stage }) => stage === name);
  const since = evidence.lastChange;
  const passed = job.powerStages.filter(
    ({ event, result }) => event > since && result === 'passed',
  );
  const last = passed.at(-1);
  if (functions.some(({ event }) => event > since) || passed.length >= Math.max(1, powerStages())) {
    return skipped('soak') ? TO_SIGN_OFF : atBench('soak', 'soak not started');
  }
  if (last !== undefined) {
    return atBench('power-up', `power-up stage ${last.stage} passed; the next is due`);
  }
  if (skipped('touch-up')) return atBench('power-up', 'power-up not begun');
  return isSeenTo(job)
    ? atBench('touch-up', 'joints are being seen to; power-up not begun')
    : atBench(
        'cold survey',
        'rails and new parts read clear; the rest to be read, or joints seen to',
      );
}

/** Looks and fresh solder after the last reading: joints, not a survey. */
function isSeenTo({ active, evidence }: DerivedJob): boolean {
  const last = evidence.readings.at(-1)?.id ?? 0;
  return active.some(
    ({ event, say }) => event.n > last && (say.do === 'look' || say.do === 'reflow'),
  );
}

const TO_SIGN_OFF: Glance = atBench('sign-off', 'to be signed off');

function atBench(stage: WorkStage, heldUpBy: string): Glance {
  return { stage, waitsFor: 'bench', heldUpBy };
}

/** A few parts by name, the rest counted. */
function named(board: Board, parts: readonly number[]): string {
  const names = parts.map((part) => partName(board, part));
  if (names.length <= MOST_NAMED) return listed(names);
  return `${names.slice(0, MOST_NAMED).join(', ')} and ${names.length - MOST_NAMED} more`;
}

const MOST_NAMED = 4;
