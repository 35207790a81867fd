/**
 * What must hold before power is offered. A gate never says that a board is fit for power: it says
 * what was measured, when, and what was not.
 */
import type { Board } from '../board/model.ts';
import type { Probe } from '../circuit/reading.ts';
import { type Healthy, type ProofItem, proofOf } from '../steps/proof.ts';
import type { DerivedJob } from './derive.ts';
import { ledgerText } from './ledger.ts';
import { printProbe, printReading } from './print-say.ts';

/** One condition for power-up. */
export interface Gate {
  /** `rail bus read clear`. */
  readonly name: string;
  readonly holds: boolean;
  /** What is still to be done for it, one line each; empty when it holds. */
  readonly needs: readonly string[];
}

/** All gates of a job: everything back on the board, each rail, each replaced part. */
export function gates(board: Board, job: DerivedJob, healthy: Healthy): Gate[] {
  const proof = proofOf(board, job.evidence, healthy);
  const readings = proof.filter(({ what }) => what !== 'refit');
  return [
    gate(
      'everything back on the board',
      job.ledger.map((entry) => `refit or replace ${ledgerText(board, entry)}`),
    ),
    ...readings.map((item) => readingGate(board, job, item)),
  ];
}

function gate(name: string, needs: readonly string[]): Gate {
  return { name, holds: needs.length === 0, needs };
}

function readingGate(board: Board, job: DerivedJob, item: ProofItem): Gate {
  const since = sinceOf(job, item);
  const name =
    item.what === 'part'
      ? `${item.name}, replaced in event ${since}, read clear on its pads`
      : `${item.name} read clear`;
  return gate(
    name,
    item.missing.map((probe) => needText(board, job, probe, since)),
  );
}

/** The event after which the readings of an item count. */
function sinceOf(job: DerivedJob, { what, index }: ProofItem): number {
  const { lastChange, replacedAt } = job.evidence;
  return what === 'part' ? (replacedAt.get(index) ?? lastChange) : lastChange;
}

function needText(board: Board, job: DerivedJob, probe: Probe, since: number): string {
  const where = printProbe(board, probe);
  const last = job.evidence.readings.findLast((reading) => isAcross(reading, probe));
  if (last === undefined) return `read ${where}: not read yet`;
  const said = `"${printReading(board, last)}" in event ${last.id}`;
  if (last.id > since) return `${where} is not clear: last read ${said}`;
  return `read ${where} again: last read ${said}, before the change in event ${since}`;
}

function isAcross(reading: Probe, { red, black }: Probe): boolean {
  if (reading.offPart !== undefined) return false;
  const nets = [reading.red.net, reading.black.net];
  return nets.includes(red.net) && nets.includes(black.net);
}
