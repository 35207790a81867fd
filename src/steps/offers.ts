import type { Board } from '../board/model.ts';
import type { View } from '../circuit/circuit.ts';
import type { Point, Probe } from '../circuit/reading.ts';
import type { Evidence } from '../faults/evidence.ts';
import { handiestNets } from './handy-nets.ts';
import type { Step } from './step.ts';
import { stepKey } from './step-key.ts';

/** Which steps may be proposed: not those passed over, nor readings where no probe can be put. */
export class Offers {
  readonly #board: Board;
  readonly #view: () => View;
  readonly #evidence: Pick<Evidence, 'passed' | 'unreachable'>;
  readonly #standIns = new Map<number, number | undefined>();

  /** @param view of the board as it is now; asked for only where something cannot be reached */
  constructor(board: Board, view: () => View, evidence: Pick<Evidence, 'passed' | 'unreachable'>) {
    this.#board = board;
    this.#view = view;
    this.#evidence = evidence;
  }

  /** Whether a step may be proposed. */
  has(step: Step): boolean {
    if (this.whyPassed(step) !== undefined) return false;
    if (step.kind === 'read') return this.canProbe(step.probe);
    const then = step.kind === 'lift' || step.kind === 'remove' ? step.then : undefined;
    return then === undefined || this.canProbe(then);
  }

  /** Why a step was passed over; undefined when it was not. */
  whyPassed(step: Step): string | undefined {
    return this.#evidence.passed?.get(stepKey(step));
  }

  /** Whether there is anything that probes cannot reach. */
  get isRestricted(): boolean {
    return this.#evidence.unreachable !== undefined;
  }

  get hasPassed(): boolean {
    return this.#evidence.passed !== undefined;
  }

  /** The same, with what was passed over on offer again. */
  withPassed(): Offers {
    const { unreachable } = this.#evidence;
    return new Offers(this.#board, this.#view, unreachable === undefined ? {} : { unreachable });
  }

  /** Whether both probes can be put where a reading wants them; a part in the hand always can be read. */
  canProbe({ red, black, offPart }: Probe): boolean {
    return offPart !== undefined || (this.canReach(red) && this.canReach(black));
  }

  /** Whether a probe can be put on the pin, or on some pad of the net. */
  canReach({ net, pin }: Point): boolean {
    const { unreachable } = this.#evidence;
    if (unreachable === undefined) return true;
    if (pin !== undefined) return !unreachable.pins.has(pin);
    return !unreachable.nets.has(net) && this.#hasPlace(net, unreachable.pins);
  }

  /** The same reading at nets that can be reached and are one piece of copper with those asked for. */
  standIn(probe: Probe): Probe | undefined {
    if (this.canProbe(probe)) return probe;
    const [red, black] = [this.#pointFor(probe.red), this.#pointFor(probe.black)];
    if (red === undefined || black === undefined || red.net === black.net) return undefined;
    return { ...probe, red, black };
  }

  /** The net itself where a probe can be put on it, else one of the same copper; undefined where none can. */
  netFor(net: number): number | undefined {
    return this.#pointFor({ net })?.net;
  }

  #pointFor(point: Point): Point | undefined {
    if (this.canReach(point)) return point;
    if (point.pin !== undefined) return undefined;
    if (!this.#standIns.has(point.net)) {
      this.#standIns.set(point.net, this.#otherNet(point.net));
    }
    const net = this.#standIns.get(point.net);
    return net === undefined ? undefined : { net };
  }

  /** Of the nets that links join to this one, the reachable one with most pads. */
  #otherNet(net: number): number | undefined {
    const handiest = handiestNets(this.#board, this.#view());
    const same = this.#board.nets.filter(
      ({ index }) => handiest[index] === handiest[net] && this.canReach({ net: index }),
    );
    const best = same.toSorted((x, y) => y.pins.length - x.pins.length)[0];
    return best?.index;
  }

  /** A place that the board file names and that is no pin can be reached until the net is said not to be. */
  #hasPlace(net: number, shut: ReadonlySet<number>): boolean {
    const { pins = [], points = [] } = this.#board.nets[net] ?? {};
    if (pins.some((pin) => !shut.has(pin))) return true;
    return points.some((name) => !this.#isPin(name));
  }

  #isPin(name: string): boolean {
    const [part = ''] = name.split('.');
    return this.#board.partNamed.has(part);
  }
}
