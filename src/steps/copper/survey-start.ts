import type { Board } from '../../board/model.ts';
import type { CopperPair } from '../../circuit/copper/copper-map.ts';
import { padOf } from '../../circuit/copper/pads.ts';
import type { Injection } from '../../circuit/reading.ts';
import { stateKey } from '../../circuit/state.ts';
import { placesOf } from '../../faults/copper/place.ts';
import type { Fault } from '../../faults/fault.ts';
import type { Analysis } from '../advise.ts';
import type { Foresight } from '../foresight.ts';
import type { Scored } from '../score.ts';
import { copperProbes } from './copper-probes.ts';
import { Search } from './narrowing.ts';

/** So many readings along the copper leave about so many suspects, as the benchmark of copper shows. */
const USUAL_READINGS = 5;
const LEFT_OVER = 2;
/** With fewer suspects than this, lifts are as quick. */
const LEAST_SUSPECTS = 4;

/**
 * The first reading along a rail's copper, where many parts on it may be the short and none of them is
 * told from the others. It says nothing by itself; the next ones fall towards the short.
 */
export function surveyStart(
  analysis: Analysis,
  foresight: Foresight,
  injection: Injection | undefined,
): Scored[] {
  const { beliefs, workbench } = analysis;
  const found: Scored[] = [];
  const tried = new Set<string>();
  const read = beliefs.problem.copper?.groups.map(({ group }) => group.copper) ?? [];
  for (const { entries, a, b, state } of beliefs.problem.observations) {
    const isJoined = entries.some(({ value }) => value.kind === 'beep' || value.kind === 'ohms');
    const copper =
      isJoined && a !== b && stateKey(state) === stateKey(analysis.evidence.state)
        ? workbench.bench.copper.between(a, b, [])
        : undefined;
    if (copper === undefined || read.some((one) => isOf(one, a, b))) continue;
    const key = copper.nets.map((nets) => Math.min(...nets)).join(' ');
    if (tried.has(key)) continue;
    tried.add(key);
    const scored = startAlong(analysis, foresight, copper, injection);
    if (scored !== undefined) found.push(scored);
  }
  return found;
}

/** Whether a rail's copper has been read, from this net to that. */
function isOf({ nets }: CopperPair, a: number, b: number): boolean {
  return (nets[0].has(a) && nets[1].has(b)) || (nets[0].has(b) && nets[1].has(a));
}

function startAlong(
  { beliefs, workbench, evidence, offers }: Analysis,
  foresight: Foresight,
  copper: CopperPair,
  injection: Injection | undefined,
): Scored | undefined {
  const { board, clock } = workbench;
  const rows: { part: number; weight: number }[] = [];
  for (const fault of beliefs.problem.universe.faults as readonly Fault[]) {
    if (fault.what !== 'part' || (beliefs.chance[fault.id] as number) < LEAST_CHANCE) continue;
    if (placesOf(board, copper, fault).length === 0) continue;
    const chances = beliefs.members(fault.id);
    fault.members.forEach(({ part }, k) => {
      if (!evidence.state.off.has(part)) rows.push({ part, weight: chances[k] as number });
    });
  }
  const most = Math.max(0, ...rows.map(({ weight }) => weight));
  const heavy = rows.filter(({ weight }) => weight > most / 20);
  const whole = heavy.reduce((sum, { weight }) => sum + weight, 0);
  if (heavy.length < LEAST_SUSPECTS || whole < LEAST_WEIGHT) return undefined;
  const costs = heavy.map(({ part }) => {
    const { minutes, undoMinutes, aheadMinutes } = foresight.candidates.takingOut([part]);
    return { wasted: minutes + undoMinutes, ahead: aheadMinutes };
  });
  const weights = Float64Array.from(heavy, ({ weight }) => weight);
  const minutesOf = (count: number): number => {
    return new Search(costs.slice(0, count)).narrowed(weights.subarray(0, count)).minutes;
  };
  const now = minutesOf(costs.length);
  const later = minutesOf(LEFT_OVER);
  const parts = heavy.map(({ part }) => part);
  const usual = usualNet(
    heavy.map(({ part, weight }) => ({ nets: netsOf(board, part), weight })),
    copper,
  );
  const canReach = (pin: number) => offers.canReach({ net: board.pins[pin]?.net ?? 0, pin });
  const probes = copperProbes(board, copper, parts, canReach, injection);
  const near = probes.filter(({ red, black }) => red.net === usual || black.net === usual);
  const probe = outermost(near.length > 0 ? near : probes, board, parts);
  if (probe === undefined) return undefined;
  const minutes = clock.read(probe);
  const saved = whole * (now - later);
  return {
    candidate: foresight.candidates.reading(probe),
    outlook: {
      answers: [], // any value: only the next ones say what it means
      gain: 1,
      minutesAfter: later,
    },
    extraMinutes: minutes,
    readings: USUAL_READINGS,
    whole: USUAL_READINGS * minutes + foresight.plainMinutes - saved,
  };
}

/** Of the first side's nets, the one that most of the weight lies on: where the next readings are, too. */
function usualNet(
  suspects: readonly { readonly nets: ReadonlySet<number>; readonly weight: number }[],
  { nets }: CopperPair,
): number {
  let best = -1;
  let most = 0;
  const side = nets[0].size >= nets[1].size ? nets[0] : nets[1];
  for (const net of side) {
    const weight = suspects.reduce((sum, one) => sum + (one.nets.has(net) ? one.weight : 0), 0);
    if (weight > most) {
      most = weight;
      best = net;
    }
  }
  return best;
}

function netsOf(board: Board, part: number): Set<number> {
  return new Set(board.parts[part]?.pins.map((pin) => board.pins[pin]?.net ?? -1));
}

const LEAST_CHANCE = 1e-4;
const LEAST_WEIGHT = 0.2;

/** The reading farthest from the middle of the suspects: from there every other falls or stays. */
function outermost<
  T extends { readonly red: { readonly pin?: number }; readonly black: { readonly pin?: number } },
>(
  probes: readonly T[],
  board: Parameters<typeof padOf>[0],
  parts: readonly number[],
): T | undefined {
  const places = parts.flatMap((part) => {
    const pin = board.parts[part]?.pins[0];
    const pad = pin === undefined ? undefined : padOf(board, pin);
    return pad === undefined ? [] : [pad.at];
  });
  const middle = [0, 1].map(
    (k) => places.reduce((sum, at) => sum + (at[k] as number), 0) / places.length,
  );
  let best: T | undefined;
  let most = -1;
  for (const probe of probes) {
    const at = padOf(board, probe.black.pin ?? -1)?.at;
    if (at === undefined) continue;
    const mm = Math.hypot(at[0] - (middle[0] as number), at[1] - (middle[1] as number));
    if (mm > most) {
      most = mm;
      best = probe;
    }
  }
  return best;
}
