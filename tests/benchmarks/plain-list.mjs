// What a technician reads who has no planner: across every part, once, wherever it may fail short, and across
// every link, fuse and winding that should sound.
import { netPairKey } from '../../dist/circuit/state.js';
import { isHealthyBeep } from '../../dist/steps/advise.js';
import { padPairs } from '../../dist/steps/proof.js';
import { readingMinutes } from '../../dist/steps/reach.js';

/**
 * The list: the pairs of nets that parts fail between and that a healthy board keeps quiet, and those that
 * a part by itself makes sound. Those at the busiest net come first, then those at the next, so that one
 * probe stays where it is.
 */
export class PlainList {
  constructor(workbench) {
    const { board } = workbench;
    this.workbench = workbench;
    const pads = (net) => board.nets[net].pins.length;
    const pairs = new Map();
    for (const part of board.parts) {
      for (const [a, b] of padPairs(board, part)) {
        const [red, black] = pads(a) < pads(b) ? [a, b] : [b, a];
        const probe = { mode: 'continuity', red: { net: red }, black: { net: black } };
        const sounds = (workbench.bench.circuit.models[part.index].healthy[0]?.ohms ?? 1e9) < 6;
        if (sounds || !isHealthyBeep(workbench, probe)) pairs.set(netPairKey(a, b), probe);
      }
    }
    this.probes = [...pairs.values()].sort(
      (x, y) =>
        pads(y.black.net) - pads(x.black.net) || x.black.net - y.black.net || x.red.net - y.red.net,
    );
  }

  /** The next of the list where the tool would survey or be done; what it advises otherwise. */
  instead({ evidence }, advice) {
    const { step, phase } = advice;
    const isSurvey = step.kind === 'read' && step.purpose === 'survey';
    if (!isSurvey && phase !== 'clear') return advice;
    const read = new Set(evidence.readings.map(({ red, black }) => netPairKey(red.net, black.net)));
    const probe = this.probes.find(({ red, black }) => !read.has(netPairKey(red.net, black.net)));
    if (probe === undefined) return { phase: 'clear', step: { kind: 'done' }, minutes: 0 };
    const minutes = readingMinutes(this.workbench.clock, evidence, probe);
    return { phase: 'survey', step: { kind: 'read', probe, purpose: 'survey' }, minutes };
  }
}
