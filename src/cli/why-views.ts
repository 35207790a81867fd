/** What accuses a part, or joins two points, in names: for `why` and for programs. */
import { type Diagnostic, InputError } from '../board/diagnostic.ts';
import type { Board } from '../board/model.ts';
import { nearest } from '../board/nearest.ts';
import { parsePoint } from '../job/points.ts';
import { type PairView, type PartView, viewPair, viewPart } from '../report/explain.ts';
import { explainPair } from '../steps/explain-pair.ts';
import { explainPart } from '../steps/explain-part.ts';
import { insteadOf } from '../steps/instead.ts';
import type { Study } from './study.ts';

/** @throws {InputError} when the board has no such part */
export function partExplained(board: Board, { analysis }: Study, name: string): PartView {
  const part = partNamed(board, name);
  const instead = insteadOf(analysis, { part });
  return viewPart(board, analysis.evidence, explainPart(analysis, part), instead);
}

/** @throws {InputError} when the board has no such point */
export function pairExplained(
  board: Board,
  { analysis }: Study,
  first: string,
  second: string,
): PairView {
  const [a, b] = [parsePoint(board, first).net, parsePoint(board, second).net];
  const instead = insteadOf(analysis, { nets: [a, b] });
  return viewPair(board, explainPair(analysis, a, b), instead);
}

function partNamed(board: Board, name: string): number {
  const exact = board.partNamed.get(name);
  const loose = board.parts.filter((part) => part.name.toLowerCase() === name.toLowerCase());
  const part = exact ?? (loose.length === 1 ? loose[0] : undefined);
  if (part !== undefined) return part.index;
  const isNet = board.netNamed.has(name);
  const near = nearest(name, board.partNamed.keys());
  const hint = isNet
    ? `"${name}" is a net: name two points, or a part`
    : near === undefined
      ? 'name a part, or two points'
      : `did you mean "${near}"?`;
  const message = `the board has no part "${name}"`;
  const diagnostic: Diagnostic = { code: 'UNKNOWN_PART', severity: 'error', message, hint };
  throw new InputError([diagnostic]);
}
