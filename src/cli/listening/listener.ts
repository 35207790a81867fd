import { type Ear, type EarSettings, FRESH_EAR } from '../../bench/meter/ear.ts';
import type { MeterFeed, Sample } from '../../bench/meter/feed.ts';
import { judge } from '../../bench/meter/judge.ts';
import { listenFor } from '../../bench/meter/listen.ts';
import { InputError } from '../../board/diagnostic.ts';
import type { MeterMode, ReadingValue } from '../../circuit/reading.ts';
import type { KeyAnswer, Live } from '../guided/key-prompt.ts';
import { type MeterNote, meterNote } from '../guided/meter-note.ts';

/** The screen follows a figure this often, ms: quicker is no help to an eye. */
const SHOW_MS = 150;
/** A meter that is silent for so long is told of by a bell, ms. */
const ALERT_MS = 2000;
/** So many samples are looked at when a person says that the value stands. */
const LOOK_BACK = 3;

/** What a prompt listens for. */
export interface Wanted {
  readonly settings: EarSettings;
  /** What makes it another reading than the last: what was heard of the same one still counts. */
  readonly of: readonly unknown[];
  /**
   * What a value comes to: an answer, or a word to show while it listens on; undefined: it listens on.
   * @param shown the figure behind it, Ω or V; Infinity for open probes
   */
  take(value: ReadingValue, shown: number | undefined): KeyAnswer | string | undefined;
}

/** A meter that answers by itself, listened to beside the keys of a prompt. */
export class Listener {
  readonly #feed: MeterFeed;
  readonly #alert: () => void;
  /** What was heard at a step, kept while pages are shown and the screen is drawn anew. */
  #ear = FRESH_EAR;
  #of: readonly unknown[] = [];
  /** What was told of the same reading, in place of what the ear hears. */
  #word = '';
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

  /** What the prompt does while it waits for a key. */
  live(wanted: Wanted): Live {
    this.#turnTo(wanted.of);
    const { settings } = wanted;
    return ({ show, isTyping, settle }) => {
      const note = noteWriter(show, this.#alert);
      const stopLooking = this.#lookOn(settings.mode);
      let stop: (() => void) | undefined;
      const listen = (): void => {
        stop = listenFor(this.#feed, { settings, from: this.#ear, isAway: isTyping, tell });
      };
      const tell = (ear: Ear): void => {
        // A value that is refused is to be heard anew, not again.
        this.#ear = ear.value === undefined ? ear : FRESH_EAR;
        if (ear.value === undefined) {
          note(this.#noteAt(ear, settings));
          return;
        }
        const taken = wanted.take(ear.value, ear.shown);
        if (typeof taken === 'object') settle(taken);
        else {
          this.#word = taken ?? this.#word;
          note(this.#noteAt(this.#ear, settings));
          listen();
        }
      };
      listen();
      tell(this.#ear);
      return () => {
        stopLooking();
        stop?.();
      };
    };
  }

  /**
   * What the meter shows now, taken at a person's word.
   * @throws {InputError} when it shows nothing, or nothing steady
   */
  valueNow(settings: EarSettings): ReadingValue {
    const value = this.#recentValue(settings);
    if (value !== undefined) return value;
    const message = 'the meter shows nothing that stands';
    const hint = 'hold still and press again, or type the value';
    throw new InputError([{ code: 'METER_UNSTEADY', severity: 'error', message, hint }]);
  }

  #turnTo(of: readonly unknown[]): void {
    const isSame = of.length === this.#of.length && of.every((each, at) => each === this.#of[at]);
    if (isSame) return;
    this.#of = of;
    this.#ear = FRESH_EAR;
    this.#word = '';
    this.#recent = [];
  }

  #recentValue({
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

  #lookOn(mode: MeterMode): () => void {
    return this.#feed.listen((event) => {
      if (event.kind === 'gap') this.#recent = [];
      if (event.kind !== 'sample' || event.mode !== mode) return;
      this.#recent = [...this.#recent, event.sample].slice(-LOOK_BACK);
    });
  }

  #noteAt(ear: Ear, settings: EarSettings): MeterNote {
    const { status } = this.#feed;
    if (this.#word !== '' && status.state === 'ready') return { text: this.#word, isWorry: true };
    // Along copper a meter shows a figure with the probes in the air too: only a person knows when it counts.
    if (settings.mode !== 'millivolts' || status.state !== 'ready') {
      return meterNote(ear, status, settings);
    }
    return { text: 'Meter: press t while the value stands.', isWorry: false };
  }
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
