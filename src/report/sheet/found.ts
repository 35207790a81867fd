/** What was found and how: which work turned which reading, what accused and cleared, what stays open. */
import type { Board } from '../../board/model.ts';
import type { TakenReading } from '../../faults/evidence.ts';
import { allReadings } from '../../job/all-readings.ts';
import type { DerivedJob } from '../../job/derive.ts';
import type { Finding, Turn } from '../../job/findings.ts';
import type { Recheck } from '../../job/recheck.ts';
import { printValue } from '../../job/value.ts';
import type { JointsTouched, ReplacedPart } from '../../job/work-done.ts';
import type { Analysis } from '../../steps/advise.ts';
import { explainPair, type WayLink } from '../../steps/explain-pair.ts';
import { explainPart } from '../../steps/explain-part.ts';
import { healthyWay } from '../../steps/healthy-way.ts';
import { type DiagnosisView, takenText, viewDiagnosis } from '../diagnosis-view.ts';
import { netName, partName, probeText } from '../names.ts';
import { compareNames, percent, runsOf } from '../words.ts';
import { lookText } from './arrival.ts';
import { eventText, workText } from './names.ts';
import { viewWays, type WayFacts, type WayView } from './way.ts';

export interface FoundView {
  /** Parts that failed, each with what showed it. */
  readonly failed: readonly FailedView[];
  /** Work that turned readings, the last with the fault and the first without. */
  readonly turned: readonly TurnedView[];
  /** Lifts that turned a reading: they say where a fault is not. */
  readonly narrowed: readonly TurnedView[];
  readonly ways: readonly WayView[];
  /** Parts that readings showed healthy, together where the same readings showed it. */
  readonly cleared: readonly {
    readonly parts: readonly string[];
    readonly by: readonly number[];
  }[];
  /** Readings that were probably wrong, and how sure that is. */
  readonly doubted: readonly string[];
  /** What the readings do not settle. */
  readonly unknown: readonly string[];
}

export interface FailedView {
  readonly part: string;
  readonly kind: string;
  readonly shown: string;
  /** Readings that are hard to explain without its failure. */
  readonly accusedBy: readonly string[];
}

export interface TurnedView {
  readonly work: readonly string[];
  /** Of the parts worked on those that were shown to have failed, with the event of the first work. */
  readonly failed: readonly string[];
  readonly pairs: readonly {
    readonly points: string;
    readonly before: string;
    readonly after: string;
    readonly beforeEntry: number;
    readonly afterEntry: number;
  }[];
}

export interface FoundFacts {
  readonly board: Board;
  readonly job: DerivedJob;
  readonly findings: readonly Finding[];
  readonly recheck: Recheck;
  readonly replaced: readonly ReplacedPart[];
  readonly joints: JointsTouched;
  /** What all readings say, and what those up to an event said. */
  readonly analysis: Analysis;
  readonly analysisAt: (event: number) => Analysis;
}

/** Drawings on one sheet. */
const MOST_DRAWINGS = 3;
/** Turned readings whose ways are looked at, and parts worked on between two of them. */
const MOST_TRIED = 12;
const MOST_WORKED_ON = 12;
/** The last readings that accuse a part were taken to find it; those before them accuse many. */
const MOST_ACCUSING = 4;
/** Below this weight a part was one suspect of many, and its readings accused others more. */
const LEAST_ACCUSED = 0.5;

export function viewFound(facts: FoundFacts): FoundView {
  const { board, job, findings, replaced, analysis } = facts;
  const diagnosis = viewDiagnosis(board, job.evidence, analysis.diagnosis);
  const turned = (by: Finding['by']): TurnedView[] =>
    findings.filter((one) => one.by === by).map((one) => viewTurned(facts, one));
  return {
    failed: replaced.filter(({ failed }) => failed).map((one) => viewFailed(facts, one)),
    turned: turned('repair'),
    narrowed: turned('lift'),
    ways: waysFound(facts),
    cleared: clearedTogether(diagnosis),
    doubted: doubted(facts, diagnosis),
    unknown: unknown(diagnosis),
  };
}

function viewTurned({ board, replaced }: FoundFacts, { work, turns, parts }: Finding): TurnedView {
  const failed = replaced.filter((one) => one.failed && parts.includes(one.part));
  const firstWork = (part: number): number =>
    work.find(({ say }) => 'parts' in say && say.parts.includes(part))?.event.n ?? 0;
  return {
    work: work.map((one) => workText(board, one)),
    failed: failed.map(({ part }) => `${partName(board, part)} (event ${firstWork(part)})`),
    pairs: turns.map(({ before, after }) => ({
      points: probeText(board, before).replace(/ \([^)]*\)$/, ''),
      before: printValue(before),
      after: printValue(after),
      beforeEntry: before.id,
      afterEntry: after.id,
    })),
  };
}

function viewFailed(facts: FoundFacts, one: ReplacedPart): FailedView {
  const { board } = facts;
  const readings = new Map(allReadings(board, facts.job).map((each) => [each.id, each]));
  const told = explainPart(facts.analysisAt(beforeRepair(facts, one.part)), one.part);
  const accusedBy = told.weight < LEAST_ACCUSED ? [] : told.accusedBy;
  return {
    part: partName(board, one.part),
    kind: board.parts[one.part]?.kind.title ?? '',
    shown: groundText(board, one),
    accusedBy: accusedBy.slice(-MOST_ACCUSING).flatMap((id) => {
      const reading = readings.get(id);
      return reading === undefined ? [] : [eventText(board, reading)];
    }),
  };
}

/** Why a part was replaced, in a few words. */
export function groundText(board: Board, { ground }: ReplacedPart): string {
  switch (ground.why) {
    case 'own legs':
      return `on its own legs, ${eventText(board, ground.reading)}`;
    case 'its work cleared': {
      const { before, after } = ground.turn;
      return `with it off or renewed ${turnText(board, before, after)}`;
    }
    case 'look':
      return `seen, event ${ground.look.id}, ${lookText(board, ground.look)}`;
    case 'bank':
      return `renewed with its bank, ${ground.bank}`;
    case 'renewed':
      return 'renewed';
  }
}

function turnText(board: Board, before: TakenReading, after: TakenReading): string {
  const where = takenText(board, before);
  return `${where} (event ${before.id}) became ${printValue(after)} (event ${after.id})`;
}

/** The last event before the part, or anything renewed with it, was renewed. */
function beforeRepair({ job }: FoundFacts, part: number): number {
  const first = job.active.find(({ say }) => say.do === 'replace' && say.parts.includes(part));
  return first === undefined ? Number.POSITIVE_INFINITY : first.event.n - 1;
}

/** Each failed part on a drawing once: rails first, then by how little work turned the reading. */
function waysFound(facts: FoundFacts): WayView[] {
  const repairs = facts.findings.filter(({ by }) => by === 'repair');
  const turns = repairs.flatMap(({ turns, parts }) => turns.map((turn) => ({ turn, parts })));
  const isRail = ({ key }: Turn): boolean =>
    facts.recheck.pairs.some((pair) => pair.key === key && pair.rail !== undefined);
  const order = turns
    .filter(({ parts }) => parts.length <= MOST_WORKED_ON)
    .sort((x, y) => Number(isRail(y.turn)) - Number(isRail(x.turn)))
    .slice(0, MOST_TRIED);
  const drawn = new Set<string>();
  const ways: WayView[] = [];
  for (const { turn, parts } of order) {
    if (ways.length === MOST_DRAWINGS) break;
    const way = viewTurnedWay(facts, turn, parts);
    if (way === undefined) continue;
    if (ways.length > 0 && way.failed.every((part) => drawn.has(part))) continue;
    for (const part of way.failed) drawn.add(part);
    ways.push(way);
  }
  return [...ways, ...waysOpen(facts, MOST_DRAWINGS - ways.length)];
}

function viewTurnedWay(
  facts: FoundFacts,
  turn: Turn,
  parts: readonly number[],
): WayView | undefined {
  const { board, analysisAt } = facts;
  const { before, was } = turn;
  const [a, b] = [before.red.net, before.black.net];
  const names = [a, b].map((net) => netName(board, net)).join(' and ');
  if (was === 'open') {
    const links = healthyWay(facts.analysis.workbench, a, b).map((link) => brokenAt(link, parts));
    return viewWays(
      { ...wayFacts(facts), state: before.state },
      [{ links, weight: 1 }],
      `The way between ${names} that was open at event ${before.id}`,
    );
  }
  const analysis = analysisAt(Math.min(...parts.map((part) => beforeRepair(facts, part))));
  const { ways } = explainPair(analysis, a, b, before.state);
  return viewWays(
    { ...wayFacts(facts), state: before.state },
    ways,
    `What joined ${names} at event ${before.id}`,
  );
}

/** The part on a healthy way that the work was on is where it was open. */
function brokenAt(link: WayLink, parts: readonly number[]): WayLink {
  return link.parts.some((part) => parts.includes(part))
    ? { ...link, what: 'part', mode: 'open' }
    : link;
}

/** Pairs that still read short: what could join them now. */
function waysOpen(facts: FoundFacts, most: number): WayView[] {
  const { board, analysis, recheck } = facts;
  const { state } = analysis.evidence;
  return recheck.pairs
    .filter(({ change }) => change === 'still short' || change === 'newly short')
    .toSorted((x, y) => (x.rail ?? Infinity) - (y.rail ?? Infinity) || 0)
    .slice(0, Math.max(0, most))
    .flatMap(({ probe }) => {
      const [a, b] = [probe.red.net, probe.black.net];
      const names = [a, b].map((net) => netName(board, net)).join(' and ');
      const { ways } = explainPair(analysis, a, b);
      const caption = `What may join ${names} now`;
      return viewWays({ ...wayFacts(facts), state }, ways, caption) ?? [];
    });
}

function wayFacts({ board, replaced, recheck, joints }: FoundFacts): Omit<WayFacts, 'state'> {
  const lifts = new Map(joints.lifted.map((leg) => [leg.pin, leg]));
  return { board, replaced, handled: recheck.parts, lifts };
}

function clearedTogether({ cleared }: DiagnosisView): FoundView['cleared'] {
  const groups = new Map<string, { parts: string[]; by: readonly number[] }>();
  for (const { part, by } of cleared) {
    const key = by.join(' ');
    const held = groups.get(key) ?? { parts: [], by };
    held.parts.push(part);
    groups.set(key, held);
  }
  return [...groups.values()].map(({ parts, by }) => ({ parts: parts.toSorted(compareNames), by }));
}

/** Readings that may have been wrong: more likely so than not, or behind a contradiction. */
function doubted({ findings, board }: FoundFacts, diagnosis: DiagnosisView): string[] {
  const unlikely = diagnosis.doubtful
    .filter(({ weight }) => weight >= 0.5)
    .map(({ id, text, weight }) => `event ${id}, ${text}, wrong with ${percent(weight)}`);
  const byItself = findings
    .filter(({ by }) => by === 'none')
    .flatMap(({ turns }) => turns)
    .map(({ before, after }) => `${turnText(board, before, after)} with nothing done between`);
  return [...unlikely, ...byItself];
}

/** What no reading settles: suspects that still weigh, a connection the file may lack. */
function unknown(diagnosis: DiagnosisView): string[] {
  const suspects = diagnosis.suspects.filter(({ weight }) => weight >= 0.01);
  const named = suspects.slice(0, 8).map(({ part, kind, weight, modes }) => {
    const [first] = modes;
    const mode = first === undefined ? '' : `, ${first.mode} with ${percent(first.weight)}`;
    return `${part}, ${kind}: failed with ${percent(weight)}${mode}`;
  });
  const more = suspects.length - named.length;
  const links = diagnosis.missingLinks
    .slice(0, 3)
    .map(
      ({ nets, weight }) =>
        `the board file may lack a connection between ${nets.join(' and ')}, ${percent(weight)}`,
    );
  return [
    ...named,
    ...(more > 0 ? [`and ${more} more suspects`] : []),
    ...links,
    ...(diagnosis.contradictory ? ['the readings contradict each other'] : []),
    `${percent(diagnosis.faultWeight)} that something on the board has failed in a way a meter shows`,
    ...(diagnosis.leftOut >= 0.001
      ? [`${percent(diagnosis.leftOut)} or less of all explanations was not looked at`]
      : []),
  ];
}

/** `C1–C6 (events 4 and 7)`. */
export function clearedText({ parts, by }: FoundView['cleared'][number]): string {
  const events =
    by.length === 0
      ? 'all readings together'
      : `event${by.length === 1 ? '' : 's'} ${by.join(', ')}`;
  return `${runsOf(parts, 12)} (${events})`;
}
