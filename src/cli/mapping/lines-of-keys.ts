import type { SweepView } from '../../report/mapping/view.ts';

/** The line that a single key stands for at a step; undefined where it stands for none. */
export function lineOfKey(sweep: SweepView | undefined, key: string): string | undefined {
  if (key === 'u') return 'undo';
  if (sweep === undefined) return undefined;
  if (key === 's') return `skip ${sweep.hold}`;
  if (key === 'n') return sweep.quietLine;
  return beepLine(sweep, Number(key) - 1);
}

/** Those before were quiet. */
export function beepLine({ hold, touch }: SweepView, beeped: number): string {
  const words = touch.slice(0, beeped + 1).map(({ points }) => points.join(','));
  return [hold, ...words, 'beep'].join(' ');
}

/** A bare point that is asked for answers the step; anything else is a line already. */
export function lineOfText(sweep: SweepView | undefined, text: string): string | undefined {
  if (text === '') return undefined;
  if (sweep === undefined || /\s/.test(text)) return text;
  const { hold, touch } = sweep;
  const wanted = text.toLowerCase();
  const at = touch.findIndex(({ points }) => points.some((name) => name.toLowerCase() === wanted));
  if (at < 0) return text;
  const before = touch.slice(0, at).map(({ points }) => points.join(','));
  return [hold, ...before, text, 'beep'].join(' ');
}
