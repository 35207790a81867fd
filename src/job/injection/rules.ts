/** What cannot be said while a current is injected, or without one. */
import type { Board } from '../../board/model.ts';
import { formatAmps } from '../../board/units.ts';
import type { Injection } from '../../circuit/reading.ts';
import { printPoint } from '../points.ts';
import type { Say } from '../say.ts';

/** What stands against a line, and how to go on. */
export interface InjectionRefusal {
  readonly message: string;
  readonly hint: string;
}

/** The current that is on, and the one that was on last. */
export interface InjectionNow {
  readonly injection?: Injection | undefined;
  readonly lastInjection?: Injection | undefined;
}

const END = 'switch the supply off, take its leads off, then say: inject off';

/** Why a line may not stand; undefined when the injection has nothing against it. */
export function againstInjection(
  board: Board,
  { injection, lastInjection }: InjectionNow,
  say: Say,
): InjectionRefusal | undefined {
  const begin = `say what is injected first: ${injectExample(board)}`;
  if (say.do === 'inject-off' && injection === undefined) {
    return { message: 'no current is injected', hint: begin };
  }
  if (say.do === 'look' && say.finding === 'warm' && lastInjection === undefined) {
    const message = 'a cold board warms nothing, and no current was injected yet';
    return { message, hint: begin };
  }
  const why = injection === undefined ? undefined : whyNot(say);
  if (injection === undefined || why === undefined) return undefined;
  const hint =
    say.do === 'read' ? `read millivolts along the copper: C12.1 C30.1 1.8 mV; or ${END}` : END;
  return { message: `${injectionText(board, injection)}: ${why}`, hint };
}

/** `0.5 A is injected into P48, back from GND`. */
export function injectionText(board: Board, { red, black, amps }: Injection): string {
  return `${formatAmps(amps)} is injected into ${printPoint(board, red)}, back from ${printPoint(board, black)}`;
}

/** How an injection is begun, with a rail of this board as the example. */
export function injectExample(board: Board): string {
  const [rail] = board.rails;
  const [red, black] =
    rail === undefined
      ? ['NET', 'NET']
      : [rail.plus, rail.minus].map((net) => printPoint(board, { net }));
  return `inject ${red} ${black} 0.5 A`;
}

function whyNot(say: Say): string | undefined {
  switch (say.do) {
    case 'read':
      return say.reading.mode === 'millivolts' || say.reading.offPart !== undefined
        ? undefined
        : 'a meter that drives the points itself would fight the supply';
    case 'isolation':
    case 'residual':
      return 'the meter would read the supply';
    case 'lift':
    case 'remove':
    case 'refit':
    case 'replace':
    case 'reflow':
    case 'clean':
    case 'mend':
      return 'nobody works on a board that a current runs through';
    case 'powered':
    case 'draws':
    case 'power':
    case 'function':
    case 'soak':
      return 'the board gets no power while that supply is on it';
    case 'sign-off':
      return 'the board does not leave with a supply on it';
    default:
      return undefined;
  }
}
