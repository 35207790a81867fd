import type { EarSettings } from '../../bench/meter/ear.ts';
import type { MeterFeed } from '../../bench/meter/feed.ts';
import { openFrom } from '../../bench/meter/judge.ts';
import type { Probe, ReadingValue } from '../../circuit/reading.ts';
import { printReading } from '../../job/print-say.ts';
import { workbenchFor } from '../engine.ts';
import { Listener } from '../listening/listener.ts';
import type { Work } from '../work.ts';
import type { Live } from './key-prompt.ts';
import { figureText } from './meter-note.ts';
import { stepOf, type Turn } from './turn.ts';

/** A meter that answers by itself in the guided run: it is listened to while a plain reading is asked for. */
export class MeterAtHand {
  readonly #listener: Listener;

  /** @param alert called when the meter gives no more answers, so that nobody waits for it */
  constructor(feed: MeterFeed, alert: () => void) {
    this.#listener = new Listener(feed, alert);
  }

  /** The reading that the meter is to answer at a turn; undefined where a person must. */
  probeAt(turn: Turn): Probe | undefined {
    const step = stepOf(turn);
    return turn.standing.task === undefined && step.kind === 'read' ? step.probe : undefined;
  }

  /** What the prompt does at a turn while it waits for a key. */
  liveAt(work: Work, turn: Turn): Live | undefined {
    const probe = this.probeAt(turn);
    if (probe === undefined) return undefined;
    return this.#listener.live({
      settings: settingsOf(work, turn, probe),
      of: [turn.study, turn.pick],
      take: (value, shown) => ({ kind: 'heard', ...heard(work, probe, value, shown) }),
    });
  }

  /**
   * The line for what the meter shows now, taken at a person's word.
   * @throws {InputError} when it shows nothing, or nothing steady
   */
  lineNow(work: Work, turn: Turn): string[] {
    const probe = this.probeAt(turn);
    if (probe === undefined) return [];
    const value = this.#listener.valueNow(settingsOf(work, turn, probe));
    return [printReading(work.board, { ...probe, value })];
  }
}

function settingsOf(work: Work, turn: Turn, { mode }: Probe): EarSettings {
  const { meter } = workbenchFor(work.board).bench;
  const { beepOhms, leadOhms } = meter;
  const { step } = turn.study.advice().view;
  const hold = turn.pick === 0 ? step.hold?.seconds : undefined;
  const open = openFrom(mode, meter);
  return { mode, beepOhms, leadOhms, openFrom: open, holdMs: (hold ?? 0) * 1000 };
}

function heard(
  { board }: Work,
  probe: Probe,
  value: ReadingValue,
  shown: number | undefined,
): { readonly lines: readonly string[]; readonly told?: string } {
  const lines = [printReading(board, { ...probe, value })];
  const isHeardOnly = value.kind === 'beep' || value.kind === 'quiet';
  if (!isHeardOnly || shown === undefined) return { lines };
  const figure = Number.isFinite(shown) ? figureText('ohms', shown) : 'open';
  return { lines, told: `The meter showed ${figure}.` };
}
