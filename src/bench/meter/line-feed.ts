import { harmless } from '../../board/shown-text.ts';
import type { MeterMode } from '../../circuit/reading.ts';
import type { FeedEvent, FeedStatus, MeterFeed } from './feed.ts';
import { FeedVoice } from './feed-voice.ts';
import { LineSplitter } from './line-splitter.ts';
import { type MeterText, readMeterText } from './meter-text.ts';

/** A meter that says nothing for longer may have been anywhere meanwhile, ms. */
const SILENCE_MS = 3000;
const MOST_SHOWN = 40;

/** As much of a stream as is heard here; any that can be read in Node fits. */
export interface LineSource {
  setEncoding(encoding: 'utf8'): unknown;
  on(event: 'data', listener: (piece: string) => void): unknown;
  on(event: 'end', listener: () => void): unknown;
  on(event: 'error', listener: (error: Error) => void): unknown;
  removeAllListeners(event: 'data'): unknown;
  destroy(): unknown;
}

/**
 * A meter that writes a line for each reading, one after the other, and takes no orders: from standard
 * input or a serial device. Lines count at the moment they arrive.
 */
export class LineFeed implements MeterFeed {
  readonly #voice: FeedVoice;
  readonly #source: LineSource;
  readonly #name: string;
  readonly #lines = new LineSplitter();
  #wanted: MeterMode | undefined;
  #lastAt = Number.NEGATIVE_INFINITY;

  /** @param name what the source is called on the screen */
  constructor(source: LineSource, name: string) {
    this.#source = source;
    this.#name = harmless(name);
    this.#voice = new FeedVoice({ state: 'connecting', text: `Waiting for ${this.#name} …` });
    source.setEncoding('utf8');
    source.on('data', (piece: string) => this.#hear(piece));
    source.on('end', () => this.#end('has ended'));
    source.on('error', (error) => this.#end(`is gone (${harmless(error.message)})`));
  }

  get status(): FeedStatus {
    return this.#voice.status;
  }

  want(mode: MeterMode | undefined): void {
    if (this.#wanted === mode) return;
    this.#wanted = mode;
    // What came in between went unheard.
    this.#voice.tell({ kind: 'gap', at: performance.now() });
  }

  listen(listener: (event: FeedEvent) => void): () => void {
    return this.#voice.listen(listener);
  }

  close(): void {
    this.#source.removeAllListeners('data');
    this.#source.destroy();
  }

  #hear(piece: string): void {
    for (const line of this.#lines.push(piece)) {
      const at = performance.now();
      if (at - this.#lastAt > SILENCE_MS) this.#voice.tell({ kind: 'gap', at });
      this.#lastAt = at;
      if (this.#wanted !== undefined) this.#hearLine(line, this.#wanted, at);
    }
  }

  #hearLine(line: string, mode: MeterMode, at: number): void {
    const text = readMeterText(line);
    const fault = faultOf(text, mode, line);
    if (fault !== undefined || text.kind === 'noise' || text.kind === 'under') {
      this.#voice.tell({ kind: 'gap', at });
      this.#voice.say('complains', `${this.#name}: ${fault}.`);
      return;
    }
    this.#voice.say('ready', `${this.#name} is listened to.`);
    const sample =
      text.kind === 'over'
        ? ({ kind: 'over' } as const)
        : ({ kind: 'figure', number: text.number } as const);
    this.#voice.tell({ kind: 'sample', at, mode, sample });
    this.#voice.tell({ kind: 'vouch', at });
  }

  #end(how: string): void {
    this.#voice.tell({ kind: 'gap', at: performance.now() });
    this.#voice.say('ended', `${this.#name} ${how}: type what the meter shows.`);
  }
}

/** Why a line does not count in this mode; undefined when it does. */
function faultOf(text: MeterText, mode: MeterMode, line: string): string | undefined {
  const wanted = mode === 'diode' || mode === 'millivolts' ? 'volts' : 'ohms';
  if (text.kind === 'noise') return `"${cut(harmless(line))}" is no reading`;
  if (text.kind === 'under') return 'far below zero: is a voltage left on the points?';
  const isOther = text.kind === 'figure' && text.unit !== undefined && text.unit !== wanted;
  return isOther ? `the meter shows ${text.unit}, set it to ${SETTING[mode]}` : undefined;
}

const SETTING: Readonly<Record<MeterMode, string>> = {
  continuity: 'ohms (not to the beeper)',
  ohms: 'ohms',
  'low-voltage': 'low-voltage ohms',
  'four-wire': 'four-wire ohms',
  diode: 'diode test',
  millivolts: 'millivolts',
};

function cut(text: string): string {
  return text.length > MOST_SHOWN ? `${text.slice(0, MOST_SHOWN)}…` : text;
}
