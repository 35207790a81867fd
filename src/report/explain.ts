// Stand-in until the engine says what an explanation is.
import type { Board } from '../board/model.ts';
import type { Evidence } from '../faults/evidence.ts';
import type { DiagnosisView } from './diagnosis.ts';
import type { Style } from './style.ts';

export function viewPair(_board: Board, pair: unknown): unknown {
  return pair;
}
export function pairLines(_view: unknown, _style: Style): string[] {
  return [];
}
export function viewPart(
  _board: Board,
  _evidence: Evidence,
  part: unknown,
  _diagnosis: DiagnosisView,
): unknown {
  return part;
}
export function partLines(_view: unknown, _style: Style): string[] {
  return [];
}
