import { type Diagnostic, InputError } from '../../board/diagnostic.ts';
import type { Board, Rail } from '../../board/model.ts';
import { nearest } from '../../board/nearest.ts';

/** A rail of the board file, or a net and the one most of its parts lie across to. */
export type DrawnRail = Pick<Rail, 'plus' | 'minus'> & { readonly name?: string };

/**
 * The rail a person means: by its name, or by a net of it, in any letter case.
 * @throws {InputError} when nothing is called so, with the nearest name
 */
export function railNamed(board: Board, text: string): DrawnRail {
  const same = (name: string): boolean => plain(name) === plain(text);
  const rail =
    board.rails.find(({ name }) => name === text) ?? board.rails.find(({ name }) => same(name));
  if (rail !== undefined) return rail;
  const net = board.netNamed.get(text) ?? board.nets.find(({ name }) => same(name));
  const own = net && railOn(board, net.index);
  if (own !== undefined) return own;
  throw new InputError([net === undefined ? unknown(board, text) : apart(text)]);
}

/** The rail a net feeds; else what it is read against most. */
export function railOn(board: Board, net: number): DrawnRail | undefined {
  const rail = board.rails.find(({ plus }) => plus === net);
  if (rail !== undefined) return rail;
  const minus = mateOf(board, net);
  return minus === undefined ? undefined : { plus: net, minus };
}

/** The net that most parts of two legs lie across to; of several, the one with most pins. */
function mateOf(board: Board, net: number): number | undefined {
  const counts = new Map<number, number>();
  for (const { pins } of board.parts) {
    const nets = pins.map((pin) => board.pins[pin]?.net ?? -1);
    const [other] = nets.filter((each) => each !== net);
    if (pins.length === 2 && nets.includes(net) && other !== undefined) {
      counts.set(other, (counts.get(other) ?? 0) + 1);
    }
  }
  const size = (each: number): number => board.nets[each]?.pins.length ?? 0;
  const [best] = [...counts].sort((a, b) => b[1] - a[1] || size(b[0]) - size(a[0]));
  return best?.[0];
}

const plain = (text: string): string => text.trim().split(/\s+/u).join(' ').toLowerCase();

function unknown(board: Board, text: string): Diagnostic {
  const known = [...board.rails.map(({ name }) => name), ...board.netNamed.keys()];
  const near = nearest(text, known);
  const rails = board.rails.map(({ name }) => name).slice(0, 8);
  const hint =
    near !== undefined
      ? `did you mean "${near}"?`
      : rails.length > 0
        ? `rails are ${rails.join(', ')}`
        : undefined;
  const message = `no rail and no net is called "${text}"`;
  return {
    code: 'UNKNOWN_RAIL',
    severity: 'error',
    message,
    ...(hint === undefined ? {} : { hint }),
  };
}

function apart(text: string): Diagnostic {
  const message = `no part lies from net "${text}" to another`;
  return { code: 'UNKNOWN_RAIL', severity: 'error', message };
}
