import type { Board } from '../../src/board/model.ts';
import type { Reading } from '../../src/circuit/reading.ts';
import type { HealthyParts } from '../../src/job/recheck.ts';

/** What the tiny board shows without faults: it conducts across its jumper alone. */
export function jumperHealth(board: Board): HealthyParts {
  const link = [board.netNamed.get('P48')?.index, board.netNamed.get('P48_FAN')?.index];
  return {
    isClear: ({ red, black, value }: Reading) => {
      const isHigh = value.kind === 'over' || value.kind === 'quiet';
      if ([red.net, black.net].every((net) => link.includes(net))) return value.kind === 'beep';
      return isHigh || (value.kind === 'ohms' && value.ohms > 100);
    },
    modeFor: () => 'continuity',
    turnTest: () => undefined,
    legOhms: (part) => (board.parts[part]?.kind.link === true ? 0 : Number.POSITIVE_INFINITY),
  };
}
