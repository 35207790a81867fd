import type { Probe } from '../circuit/reading.ts';
import type { BoardState } from '../circuit/state.ts';
import { findIslands } from '../circuit/network.ts';
import type { Beliefs } from '../faults/beliefs.ts';
import { actsOn, type Fault } from '../faults/fault.ts';
import { pairKey } from '../faults/observation.ts';

/** A reading that would show faults nothing has spoken of yet. */
export interface SurveyReading {
  readonly probe: Probe;
  /** Expected number of faults it would show. */
  readonly faults: number;
  /** Parts it would speak for. */
  readonly parts: readonly number[];
}

export interface Survey {
  /** Best first. */
  readonly readings: readonly SurveyReading[];
  /** Expected number of meter-visible shorts not read yet, that some reading could show. */
  readonly unread: number;
  /** Parts no reading on the assembled board can speak for: a healthy path lies beside them. */
  readonly hidden: readonly number[];
}

/** Nets joined by less than this share of the beep threshold are one place to a beeper. */
const SAME_PLACE_RATIO = 0.25;
/** Beside a healthy path of at least this many ohms an ohms reading still shows a short. */
const LEAST_TOLD_OHMS = 1;
const NEGLIGIBLE_CHANCE = 1e-6;

interface Group {
  readonly probe: Probe;
  faults: number;
  readonly parts: Set<number>;
}

/** Groups what may still be wrong, unseen, by the reading that would show it. */
export function surveyOf(beliefs: Beliefs, state: BoardState): Survey {
  const { circuit, universe, meter, observations } = beliefs.problem;
  const { network } = circuit.view(state);
  const strong = network.branches.filter(({ ohms }) => ohms < SAME_PLACE_RATIO * meter.beepOhms);
  const { island: place } = findIslands(network.nodeCount, strong);
  const handiest = handiestNets(beliefs, place);
  const groups = new Map<string, Group>();
  const hidden = new Map<number, number>();
  const add = (key: string, probe: Probe, fault: Fault): void => {
    let group = groups.get(key);
    if (group === undefined) {
      group = { probe, faults: 0, parts: new Set() };
      groups.set(key, group);
    }
    group.faults += beliefs.chance[fault.id] as number;
    for (const { part } of fault.members) group.parts.add(part);
  };
  for (const fault of universe.faults) {
    const chance = beliefs.chance[fault.id] as number;
    if (chance < NEGLIGIBLE_CHANCE || !actsOn(fault, state)) continue;
    if (fault.what !== 'part' && fault.what !== 'joint') continue;
    const shorts = fault.branches.filter(
      ({ pinA, pinB }) => !state.lifted.has(pinA) && !state.lifted.has(pinB),
    );
    if (shorts.length === 0) {
      addOpen(beliefs, fault, state, add);
      continue;
    }
    let shown = false;
    for (const { a, b, ohms } of shorts) {
      if (ohms > meter.beepOhms) continue;
      const pa = place[a] as number;
      const pb = place[b] as number;
      if (pa !== pb) {
        const [x, y] = pa < pb ? [pa, pb] : [pb, pa];
        const probe = probeBetween('continuity', handiest[x] as number, handiest[y] as number);
        add(`beep ${x} ${y}`, probe, fault);
        shown = true;
      } else if (network.resistance(a, b) >= LEAST_TOLD_OHMS + ohms) {
        add(`ohms ${Math.min(a, b)} ${Math.max(a, b)}`, probeBetween('ohms', a, b), fault);
        shown = true;
      }
    }
    const branchBeeps = shorts.some(({ ohms }) => ohms <= meter.beepOhms);
    if (!shown && branchBeeps) for (const { part } of fault.members) hidden.set(part, (hidden.get(part) ?? 0) + chance);
  }
  const taken = new Set(observations.map((observation) => observation.pairKey));
  const readings = [...groups.values()]
    .filter(({ probe }) => !taken.has(pairKey(probe.red.net, probe.black.net, state)))
    .map(({ probe, faults, parts }) => ({ probe, faults, parts: [...parts] }))
    .sort((x, y) => y.faults - x.faults || x.probe.red.net - y.probe.red.net);
  return {
    readings,
    unread: readings.reduce((sum, { faults }) => sum + faults, 0),
    hidden: [...hidden].filter(([, chance]) => chance > 0.001).map(([part]) => part),
  };
}

/** A fuse or link gone open shows as a missing beep across it. */
function addOpen(
  beliefs: Beliefs,
  fault: Fault,
  state: BoardState,
  add: (key: string, probe: Probe, fault: Fault) => void,
): void {
  if (!fault.opensPart) return;
  const { circuit, meter } = beliefs.problem;
  const part = fault.members[0]?.part ?? -1;
  const element = circuit.elements.find((e) => e.part === part);
  if (element === undefined || element.ohms > 0.2 * meter.beepOhms) return;
  const { network } = circuit.view(state);
  const onlyWay = network.resistance(element.netA, element.netB) > element.ohms * (1 - 1e-6);
  if (!onlyWay) return;
  add(`open ${part}`, probeBetween('continuity', element.netA, element.netB), fault);
}

function probeBetween(mode: 'continuity' | 'ohms', a: number, b: number): Probe {
  return { mode, red: { net: a }, black: { net: b } };
}

/** By place: the net of it that is easiest to reach, which is the one with most pads. */
function handiestNets(beliefs: Beliefs, place: Int32Array): Int32Array {
  const { nets } = beliefs.problem.circuit.board;
  const best = new Int32Array(place.length).fill(-1);
  for (const net of nets) {
    const at = place[net.index] as number;
    const held = nets[best[at] as number];
    if (held === undefined || net.pins.length > held.pins.length) best[at] = net.index;
  }
  return best;
}
