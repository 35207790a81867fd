import type { Board, Rail } from '../board/model.ts';
import { isCopperOnly } from '../circuit/reading.ts';
import { stateKey } from '../circuit/state.ts';
import type { Evidence, TakenReading } from '../faults/evidence.ts';
import { conducts, USUAL_TOLERANCE } from '../job/compare-values.ts';
import { printValue } from '../job/value.ts';
import { doubtLines, setLines, suspectLines } from './diagnosis.ts';
import type { DiagnosisView } from './diagnosis-view.ts';
import { type InjectedView, injectedLines, viewInjected } from './injection.ts';
import { netName, probeText } from './names.ts';
import { type ProbeView, viewProbe } from './step-view.ts';
import type { Style } from './style.ts';
import { counted } from './words.ts';
import { labelled } from './wrap.ts';

/** What saved readings say of one pair of points. */
export type Verdict = 'shorted' | 'clear' | 'conducts as it should' | 'open, should conduct';

export interface PairVerdict {
  readonly probe: ProbeView;
  readonly text: string;
  readonly value: string;
  readonly verdict: Verdict;
  /** Number of the reading that says so. */
  readonly id: number;
  /** True when the pair was read more than once and the readings do not agree. */
  readonly unsettled: boolean;
}

export interface RailVerdict {
  readonly name: string;
  readonly plus: string;
  readonly minus: string;
  readonly verdict: Verdict | 'not read';
}

/** The answer to "is anything shorted": what is shown, and what `--json` prints. */
export interface CheckView {
  readonly shorted: boolean;
  readonly contradictory: boolean;
  readonly rails: readonly RailVerdict[];
  readonly pairs: readonly PairVerdict[];
  readonly diagnosis: DiagnosisView;
  /** The current that is still on where the readings end. */
  readonly injection?: InjectedView;
}

/**
 * Judges every pair that was read: by its readings since the board last changed, each weighed by
 * how far it is to be believed.
 * @param beepsHealthy whether a healthy board conducts where a reading was taken
 */
export function viewCheck(
  board: Board,
  evidence: Evidence,
  diagnosis: DiagnosisView,
  beepsHealthy: (reading: TakenReading) => boolean,
): CheckView {
  const { injection } = evidence;
  const doubt = new Map(diagnosis.doubtful.map(({ id, weight }) => [id, weight]));
  const judged = repeatsOf(evidence.readings.filter((reading) => !isCopperOnly(reading))).map(
    (repeats) => judge(repeats, doubt, beepsHealthy),
  );
  const pairs = judged.map(({ reading, verdict, unsettled }) => ({
    probe: viewProbe(board, reading),
    text: probeText(board, reading),
    value: printValue(reading),
    verdict,
    id: reading.id,
    unsettled,
  }));
  return {
    shorted: pairs.some(({ verdict }) => verdict === 'shorted'),
    contradictory: diagnosis.contradictory || pairs.some(({ unsettled }) => unsettled),
    rails: board.rails.map((rail) => railVerdict(board, rail, judged)),
    pairs,
    diagnosis,
    ...(injection === undefined ? {} : { injection: viewInjected(board, injection) }),
  };
}

/** The verdict over saved readings as lines of text. */
export function checkLines(view: CheckView, style: Style): string[] {
  const { palette, width } = style;
  const mark = (verdict: string, lines: string[]): string[] =>
    verdict === 'shorted' ? lines.map(palette.bad) : lines;
  const shorted = view.pairs.filter(({ verdict }) => verdict === 'shorted');
  const head = view.shorted
    ? palette.bad(`Shorted: ${counted(shorted.length, 'pair')} of ${view.pairs.length} read`)
    : `No short in ${counted(view.pairs.length, 'pair')} read`;
  const rails = view.rails.flatMap(({ name, plus, minus, verdict }) =>
    mark(verdict, labelled('Rail', `${name}, ${plus} to ${minus}: ${verdict}`, 7, width)),
  );
  const pairs = view.pairs
    .filter(({ verdict, unsettled }) => verdict !== 'clear' || unsettled)
    .flatMap(({ text, value, verdict, unsettled }) => {
      const doubt = unsettled ? '; its readings do not agree, read it again' : '';
      return mark(verdict, labelled('Pair', `${text}: ${value}, ${verdict}${doubt}`, 7, width));
    });
  return [head, ...rails, ...pairs, ...causeLines(view, style)];
}

function causeLines(view: CheckView, style: Style): string[] {
  const { diagnosis } = view;
  if (!view.shorted && !view.contradictory) return [];
  return [
    '',
    ...setLines(diagnosis, style, 6),
    ...suspectLines(diagnosis, style, 8),
    ...doubtLines(diagnosis, style),
    ...(view.injection === undefined ? [] : injectedLines(view.injection, style)),
  ];
}

interface Judged {
  readonly reading: TakenReading;
  readonly verdict: Verdict;
  readonly unsettled: boolean;
}

/** Below this share of belief the minority among repeated readings is taken for slips. */
const SETTLED_SHARE = 0.35;

function judge(
  repeats: readonly TakenReading[],
  doubt: ReadonlyMap<number, number>,
  beepsHealthy: (reading: TakenReading) => boolean,
): Judged {
  const belief = (short: boolean): number =>
    repeats
      .filter((reading) => conducts(reading, USUAL_TOLERANCE) === short)
      .reduce((sum, { id }) => sum + 1 - (doubt.get(id) ?? 0), 0);
  const [shorts, others] = [belief(true), belief(false)];
  const short = shorts === others ? undefined : shorts > others;
  const believed = repeats.findLast(
    (reading) => short === undefined || conducts(reading, USUAL_TOLERANCE) === short,
  );
  const reading = believed ?? (repeats.at(-1) as TakenReading);
  const unsettled = Math.min(shorts, others) / (shorts + others || 1) > SETTLED_SHARE;
  return { reading, verdict: verdictOf(reading, beepsHealthy(reading)), unsettled };
}

/** By pair, in the order first read: the readings taken under the state of the last one. */
function repeatsOf(readings: readonly TakenReading[]): TakenReading[][] {
  const byPair = new Map<string, TakenReading[]>();
  for (const reading of readings) {
    const key = pairKey(reading);
    const held = byPair.get(key) ?? [];
    const state = stateKey(reading.state);
    byPair.set(key, [...held.filter((other) => stateKey(other.state) === state), reading]);
  }
  return [...byPair.values()];
}

function verdictOf(reading: TakenReading, healthy: boolean): Verdict {
  const short = conducts(reading, USUAL_TOLERANCE);
  if (short) return healthy ? 'conducts as it should' : 'shorted';
  return healthy && reading.mode !== 'diode' ? 'open, should conduct' : 'clear';
}

/** A pair is one whichever way round the probes were, but not in the diode test. */
function pairKey({ mode, red, black, offPart }: TakenReading): string {
  const points = [red, black].map(({ net, pin }) => `${net}.${pin ?? ''}`);
  if (mode !== 'diode') points.sort();
  return [mode === 'diode' ? 'diode' : '', offPart ?? '', ...points].join(' ');
}

function railVerdict(board: Board, rail: Rail, judged: readonly Judged[]): RailVerdict {
  const own = judged.filter(({ reading }) => isAcross(reading, rail));
  const verdict = own.find((each) => each.verdict === 'shorted') ?? own[0];
  return {
    name: rail.name,
    plus: netName(board, rail.plus),
    minus: netName(board, rail.minus),
    verdict: verdict?.verdict ?? 'not read',
  };
}

function isAcross({ red, black, offPart, mode }: TakenReading, rail: Rail): boolean {
  if (offPart !== undefined || mode === 'diode') return false;
  const nets = [red.net, black.net];
  return nets.includes(rail.plus) && nets.includes(rail.minus);
}
