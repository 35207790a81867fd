import type { Board } from '../board/model.ts';
import { formatFarads, formatSeconds } from '../board/units.ts';
import type { MeterMode } from '../circuit/reading.ts';
import type { Settling } from '../circuit/settling.ts';
import { partNames } from './names.ts';
import { GLUE, labelled } from './wrap.ts';

/** How long to hold the probes, and why: what is shown, and what `--json` prints. */
export interface HoldView {
  /** Whole seconds. */
  readonly seconds: number;
  /** F across the points. */
  readonly farads: number;
  readonly parts: readonly string[];
  readonly beepSeconds: number;
  readonly overSeconds: number;
  readonly swap: boolean;
  readonly text: string;
}

/** A chirp shorter than this passes for none, s. */
const HEARD_SECONDS = 0.01;
/** A value that stands this soon needs no word about it, s. */
const SOON_SECONDS = 1.5;

/** Undefined where the charging is too short to be taken for a reading. */
export function viewHold(
  board: Board,
  mode: MeterMode,
  settling: Settling | undefined,
): HoldView | undefined {
  if (settling === undefined || !matters(mode, settling)) return undefined;
  const { farads, parts, beepSeconds, overSeconds, holdSeconds, swap } = settling;
  const seconds = Math.ceil(holdSeconds - 1e-9);
  const text = holdText(mode, settling, seconds);
  return { seconds, farads, parts: partNames(board, parts), beepSeconds, overSeconds, swap, text };
}

/** The text wrapped, no number parted from its unit. */
export function holdLines(hold: HoldView, indent: number, width: number): string[] {
  return labelled('', hold.text.replace(/(\d) /g, `$1${GLUE}`), indent, width);
}

function matters(mode: MeterMode, { beepSeconds, holdSeconds }: Settling): boolean {
  return holdSeconds >= SOON_SECONDS || (mode === 'continuity' && beepSeconds >= HEARD_SECONDS);
}

function holdText(mode: MeterMode, settling: Settling, seconds: number): string {
  const { farads, beepSeconds, overSeconds, swap } = settling;
  const size = formatFarads(farads);
  const why =
    mode === 'continuity'
      ? `keep the beeper on for ${shortTime(beepSeconds)} while they charge`
      : `take ${shortTime(overSeconds)} to charge, and no value counts before`;
  const again = swap ? ' Then discharge them, swap the probes and read again.' : '';
  return `Hold ${formatSeconds(seconds)}: ${size} across these points ${why}.${again}`;
}

/** Two digits are more than a capacitor's tolerance deserves. */
function shortTime(seconds: number): string {
  return formatSeconds(Number(seconds.toPrecision(2)));
}
