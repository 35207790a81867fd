/**
 * What must hold before power is offered. A gate never says that a board is fit for power: it says
 * what was measured, when, and what was not.
 */
import type { Board } from '../board/model.ts';
import { isAcrossBoard, type Probe } from '../circuit/reading.ts';
import { type Healthy, type ProofItem, proofOf } from '../steps/proof.ts';
import type { DerivedJob } from './derive.ts';
import { ledgerText } from './ledger.ts';
import { partName } from './points.ts';
import { printProbe, printReading, printSay } from './print-say.ts';
import { type FittedTab, fittedTabs } from './tabs.ts';

/** One condition for power-up. */
export interface Gate {
  /** `rail bus read clear`. */
  readonly name: string;
  readonly holds: boolean;
  /** What is still to be done for it, one line each; empty when it holds. */
  readonly needs: readonly string[];
}

/**
 * All gates of a job: everything back on the board, each rail, each replaced part, and each part put
 * back on a heatsink.
 */
export function gates(board: Board, job: DerivedJob, healthy: Healthy): Gate[] {
  const proof = proofOf(board, job.evidence, healthy);
  const readings = proof.filter(({ what }) => what !== 'refit');
  return [
    gate(
      'everything back on the board',
      job.ledger.map((entry) => `refit or replace ${ledgerText(board, entry)}`),
    ),
    ...readings.map((item) => readingGate(board, job, item)),
    ...fittedTabs(board, job, healthy).flatMap((tab) => tabGates(board, job, tab)),
  ];
}

function tabGates(board: Board, job: DerivedJob, tab: FittedTab): Gate[] {
  const name = partName(board, tab.part);
  const fitted = `fitted in event ${tab.since}`;
  const fastened = gate(
    `${name}, ${fitted}, fastened to its heatsink`,
    tab.isFastened ? [] : [`fasten it and record: tick ${name} fastened`],
  );
  if (tab.apart.by === 'none') return [fastened];
  return [
    gate(`tab of ${name}, ${fitted}, read apart from its heatsink`, apartNeeds(board, job, tab)),
    fastened,
  ];
}

function apartNeeds(board: Board, job: DerivedJob, { part, since, apart }: FittedTab): string[] {
  if (apart.by === 'none') return [];
  if (apart.by === 'reading') {
    return apart.missing === undefined ? [] : [needText(board, job, apart.missing, since)];
  }
  if (apart.holds) return [];
  const name = partName(board, part);
  const { last } = apart;
  if (last === undefined)
    return [`read its tab against the heatsink and record: isolation ${name} OL`];
  const said = printSay(board, { do: 'isolation', part, value: last.value });
  return [
    `"${said}" in event ${last.event} is less than 1 Mohm: see to the insulator, then read it again`,
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
  if (!isAcrossBoard(reading)) return false;
  const nets = [reading.red.net, reading.black.net];
  return nets.includes(red.net) && nets.includes(black.net);
}
