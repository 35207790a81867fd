import { type Ear, type EarSettings, FRESH_EAR } from '../../bench/meter/ear.ts';
import type { MeterFeed, Sample } from '../../bench/meter/feed.ts';
import { judge, openFrom } from '../../bench/meter/judge.ts';
import { listenFor } from '../../bench/meter/listen.ts';
import { InputError } from '../../board/diagnostic.ts';
import type { Probe, ReadingValue } from '../../circuit/reading.ts';
import { printReading } from '../../job/print-say.ts';
import { workbenchFor } from '../engine.ts';
import type { Work } from '../work.ts';
import type { Live } from './key-prompt.ts';
import { figureText, type MeterNote, meterNote } from './meter-note.ts';
import { stepOf, type Turn } from './turn.ts';

/** The screen follows a figure this often, ms: quicker is no help to an eye. */
const SHOW_MS = 150;
/** A meter that is silent for so long is told of by a bell, ms. */
const ALERT_MS = 2000;
/** So many samples are looked at when a person says that the value stands. */
const LOOK_BACK = 3;

/** A meter that answers by itself in the guided run: it is listened to while a plain reading is asked for. */
export class MeterAtHand {
  readonly #feed: MeterFeed;
  readonly #alert: () => void;
  /** What was heard at a step, kept while pages are shown and the screen is drawn anew. */
  #ear = FRESH_EAR;
  #heardAt: Pick<Turn, 'study' | 'pick'> | undefined;
  #recent: Sample[] = [];

  /** @param alert called when the meter gives no more answers, so that nobody waits for it */
  constructor(feed: MeterFeed, alert: () => void) {
    this.#feed = feed;
    this.#alert = alert;
    let timer: NodeJS.Timeout | undefined;
    feed.listen((event) => {
      if (event.kind !== 'status') return;
      clearTimeout(timer);
      // An answer lost and asked for again is nobody's business.
      if (event.status.state !== 'ready') timer = setTimeout(alert, ALERT_MS).unref();
    });
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
    if (this.#heardAt?.study !== turn.study || this.#heardAt.pick !== turn.pick) {
      this.#heardAt = turn;
      this.#ear = FRESH_EAR;
      this.#recent = [];
    }
    const settings = settingsOf(work, turn, probe);
    return ({ show, isTyping, settle }) => {
      const note = noteWriter(show, this.#alert);
      const stopLooking = this.#lookOn(probe);
      const tell = (ear: Ear): void => {
        // A value that is refused is to be heard anew, not again.
        this.#ear = ear.value === undefined ? ear : FRESH_EAR;
        if (ear.value === undefined) note(noteAt(ear, this.#feed, settings));
        else settle({ kind: 'heard', ...heard(work, probe, ear.value, ear.shown) });
      };
      const from = this.#ear;
      const stop = listenFor(this.#feed, { settings, from, isAway: isTyping, tell });
      tell(from);
      return () => {
        stopLooking();
        stop();
      };
    };
  }

  /**
   * The line for what the meter shows now, taken at a person's word.
   * @throws {InputError} when it shows nothing, or nothing steady
   */
  lineNow(work: Work, turn: Turn): string[] {
    const probe = this.probeAt(turn);
    if (probe === undefined) return [];
    const value = this.#valueNow(settingsOf(work, turn, probe));
    if (value === undefined) {
      const message = 'the meter shows nothing that stands';
      const hint = 'hold still and press again, or type the value';
      throw new InputError([{ code: 'METER_UNSTEADY', severity: 'error', message, hint }]);
    }
    return [printReading(work.board, { ...probe, value })];
  }

  #valueNow({
    mode,
    beepOhms,
    openFrom: open = Number.POSITIVE_INFINITY,
  }: EarSettings): ReadingValue | undefined {
    if (this.#recent.length < LOOK_BACK) return undefined;
    const numbers = this.#recent.flatMap((sample) =>
      sample.kind === 'figure' && sample.number < open ? [sample.number] : [],
    );
    if (numbers.length === 0) return mode === 'continuity' ? { kind: 'quiet' } : { kind: 'over' };
    return numbers.length < LOOK_BACK ? undefined : judge(mode, numbers, beepOhms);
  }

  #lookOn({ mode }: Probe): () => void {
    return this.#feed.listen((event) => {
      if (event.kind === 'gap') this.#recent = [];
      if (event.kind !== 'sample' || event.mode !== mode) return;
      this.#recent = [...this.#recent, event.sample].slice(-LOOK_BACK);
    });
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

function noteAt(ear: Ear, feed: MeterFeed, settings: EarSettings): MeterNote {
  // Along copper a meter shows a figure with the probes in the air too: only a person knows when it counts.
  if (settings.mode !== 'millivolts' || feed.status.state !== 'ready') {
    return meterNote(ear, feed.status, settings);
  }
  return { text: 'Meter: press t while the value stands.', isWorry: false };
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

/** Shows a line when it is another one, and not too often; calls out when a worry begins. */
function noteWriter(show: (text: string) => void, alert: () => void): (note: MeterNote) => void {
  let last: MeterNote = { text: '', isWorry: false };
  let at = Number.NEGATIVE_INFINITY;
  return (note) => {
    const now = performance.now();
    const isSameKind = note.text.replace(/\d/g, '') === last.text.replace(/\d/g, '');
    if (note.text === last.text || (isSameKind && now - at < SHOW_MS)) return;
    if (note.isWorry && !last.isWorry) alert();
    last = note;
    at = now;
    show(note.text);
  };
}
