import { harmless } from '../../board/shown-text.ts';
import type { MeterMode } from '../../circuit/reading.ts';
import type { FeedEvent, FeedStatus, MeterFeed } from './feed.ts';
import { FeedVoice } from './feed-voice.ts';
import { type MeterError, readMeterError, readMeterText } from './meter-text.ts';
import { LinkLost, NoAnswer, ScpiLink, type ScpiPlace } from './scpi-link.ts';
import { type ScpiWay, scpiWays } from './scpi-ways.ts';

/** Patience with an instrument, ms. */
export interface ScpiTimes {
  readonly connect: number;
  /** A four-wire reading that changes ranges takes seconds. */
  readonly answer: number;
  /** Between the starts of two readings at least: an eye and a hand are no quicker. */
  readonly readEvery: number;
  /** The error queue is asked this often between readings. */
  readonly vouchEvery: number;
  /** Before the first new try at a lost link, and between tries at most; each waits twice as long. */
  readonly backOffLeast: number;
  readonly backOffMost: number;
}

const TIMES: ScpiTimes = {
  connect: 5_000,
  answer: 5_000,
  readEvery: 20,
  vouchEvery: 300,
  backOffLeast: 250,
  backOffMost: 5_000,
};

/** SCPI keeps at least two; an instrument that never runs dry is not waited for. */
const MOST_ERRORS = 32;
/** Lines read over before an instrument says who it is: what another session left unread. */
const MOST_LEFT_OVER = 4;
/** Vouching failed so often in a row: the readings do not count. */
const MOST_REFUSALS = 3;
/** So many connections in a row without a proper answer to SYST:ERR?: it has no error queue. */
const MOST_MUTE = 2;

const ERROR_QUERY = 'SYST:ERR?';
const WHO = '*IDN?';

/**
 * A bench meter over raw TCP. It connects, and connects again with growing patience, for as long as it
 * is not closed. While a mode is wanted it reads without pause; between readings it asks the error
 * queue, which also shows that answers and queries are still in step: an answer of another shape there
 * ends the link and what was read since the last one.
 */
export class ScpiMeter implements MeterFeed {
  readonly #voice: FeedVoice;
  readonly #place: ScpiPlace;
  readonly #times: ScpiTimes;
  #wanted: MeterMode | undefined;
  #link: ScpiLink | undefined;
  #isClosed = false;
  readonly #closing = new AbortController();
  /** Wakes whatever waits: for a wish, or for the next try. */
  #wake: () => void = () => undefined;
  /** Which way of a mode is tried first: the one that worked. */
  readonly #wayOf = new Map<MeterMode, number>();
  #name = 'the meter';
  #identity = '';
  /** Tries in a row at a lost link, connections in a row without an error queue. */
  #failures = 0;
  #mute = 0;

  constructor(place: ScpiPlace, times: Partial<ScpiTimes> = {}) {
    this.#place = place;
    this.#times = { ...TIMES, ...times };
    this.#voice = new FeedVoice({ state: 'connecting', text: this.#reaching() });
    void this.#run();
  }

  get status(): FeedStatus {
    return this.#voice.status;
  }

  want(mode: MeterMode | undefined): void {
    if (this.#wanted === mode) return;
    this.#wanted = mode;
    this.#wake();
  }

  listen(listener: (event: FeedEvent) => void): () => void {
    return this.#voice.listen(listener);
  }

  close(): void {
    this.#isClosed = true;
    this.#closing.abort();
    this.#link?.close();
    this.#wake();
  }

  async #run(): Promise<void> {
    while (!this.#isClosed) {
      try {
        this.#link = await ScpiLink.open(this.#place, this.#times.connect, this.#closing.signal);
        if (this.#isClosed) break;
        await this.#serve(this.#link);
      } catch (error) {
        if (!(error instanceof LinkLost)) throw error;
        if (this.#isClosed) break;
        await this.#lost(error);
      }
    }
    this.#link?.close();
  }

  async #lost(error: LinkLost): Promise<void> {
    this.#voice.tell({ kind: 'gap', at: now() });
    const { backOffLeast, backOffMost } = this.#times;
    const wait = Math.min(backOffMost, backOffLeast * 2 ** Math.min(this.#failures, 20));
    this.#failures += 1;
    const { host, port } = this.#place;
    this.#voice.say('lost', `No link to ${shown(`${host}:${port}`)}: ${shown(error.message)}.`);
    const until = now() + wait;
    while (!this.#isClosed && now() < until) await this.#sleep(until - now());
  }

  /** Works until the link is lost, which it throws, or this is closed. */
  async #serve(link: ScpiLink): Promise<never> {
    link.onEnd(() => this.#wake());
    await this.#identify(link);
    let mode: MeterMode | undefined;
    for (;;) {
      if (link.end !== undefined) throw link.end;
      const wanted = this.#wanted;
      if (wanted === undefined || wanted === mode) {
        mode = wanted;
        this.#voice.say('ready', `${this.#name} is there.`);
        await this.#sleep();
        continue;
      }
      mode = wanted;
      const way = await this.#set(link, wanted);
      if (way === undefined) {
        this.#voice.say('lacks', `${this.#name} cannot be set to ${wanted}: type what it shows.`);
        while (this.#wanted === wanted && link.end === undefined) await this.#sleep();
        continue;
      }
      this.#voice.tell({ kind: 'gap', at: now() });
      this.#voice.say('ready', `${this.#name} is listened to.`);
      await this.#read(link, wanted, way);
      mode = undefined;
    }
  }

  /** Reads in one mode until another is wanted. */
  async #read(link: ScpiLink, mode: MeterMode, way: ScpiWay): Promise<void> {
    let refusals = 0;
    let vouchAt = now() + this.#times.vouchEvery;
    while (this.#wanted === mode && !this.#isClosed) {
      const nextAt = now() + this.#times.readEvery;
      const isClear = await this.#sample(link, mode, way);
      if (now() < nextAt) await this.#sleep(nextAt - now());
      if (isClear && now() < vouchAt) continue;
      const [error] = await this.#errors(link);
      vouchAt = now() + this.#times.vouchEvery;
      if (error === undefined) {
        refusals = 0;
        this.#failures = 0;
        if (isClear) {
          this.#voice.say('ready', `${this.#name} is listened to.`);
          this.#voice.tell({ kind: 'vouch', at: now() });
        }
        continue;
      }
      refusals += 1;
      this.#voice.tell({ kind: 'gap', at: now() });
      this.#complain(error);
      if (refusals < MOST_REFUSALS) continue;
      this.#nextWay(mode);
      return;
    }
  }

  /** Takes one reading; false when it was none, and what came before is in doubt. */
  async #sample(link: ScpiLink, mode: MeterMode, way: ScpiWay): Promise<boolean> {
    const line = await this.#answer(link, mode, way.read);
    const text = readMeterText(line);
    const unit = mode === 'diode' || mode === 'millivolts' ? 'volts' : 'ohms';
    if (text.kind === 'over') {
      this.#voice.tell({ kind: 'sample', at: now(), mode, sample: { kind: 'over' } });
      return true;
    }
    if (text.kind === 'figure' && (text.unit ?? unit) === unit) {
      const sample = { kind: 'figure', number: text.number } as const;
      this.#voice.tell({ kind: 'sample', at: now(), mode, sample });
      return true;
    }
    this.#voice.tell({ kind: 'gap', at: now() });
    const fault =
      text.kind === 'under'
        ? 'reads far below zero: is a voltage left on the points?'
        : `answers ${quoted(line)}, which is no reading.`;
    this.#voice.say('complains', `${this.#name} ${fault}`);
    return false;
  }

  async #answer(link: ScpiLink, mode: MeterMode, query: string): Promise<string> {
    try {
      return await link.ask(query, this.#times.answer);
    } catch (error) {
      // Without an error queue this is how an instrument says that it does not know the query.
      if (error instanceof NoAnswer && this.#mute >= MOST_MUTE) this.#nextWay(mode);
      throw error;
    }
  }

  /** Sets a mode by the first way that the instrument takes; undefined when it takes none. */
  async #set(link: ScpiLink, mode: MeterMode): Promise<ScpiWay | undefined> {
    const ways = scpiWays(mode);
    const from = this.#wayOf.get(mode) ?? 0;
    for (let turn = 0; turn < ways.length; turn += 1) {
      const index = (from + turn) % ways.length;
      const way = ways[index];
      if (way === undefined || !(await this.#takes(link, way.set))) continue;
      this.#wayOf.set(mode, index);
      await this.#takes(link, way.nice);
      return way;
    }
    return undefined;
  }

  #nextWay(mode: MeterMode): void {
    const next = (this.#wayOf.get(mode) ?? 0) + 1;
    this.#wayOf.set(mode, next % Math.max(1, scpiWays(mode).length));
  }

  /** Whether an instrument finds no fault with any of these commands. */
  async #takes(link: ScpiLink, commands: readonly string[]): Promise<boolean> {
    let takes = true;
    for (const command of commands) {
      link.send(command);
      takes = (await this.#errors(link)).length === 0 && takes;
    }
    return takes;
  }

  /**
   * Empties the error queue. An instrument without one is asked who it is instead, which shows as well
   * that query and answer are in step.
   * @throws {LinkLost} when they are not
   */
  async #errors(link: ScpiLink): Promise<MeterError[]> {
    if (this.#mute >= MOST_MUTE) {
      if ((await link.ask(WHO, this.#times.answer)) !== this.#identity) this.#outOfStep(link);
      return [];
    }
    const errors: MeterError[] = [];
    while (errors.length < MOST_ERRORS) {
      const error = readMeterError(await link.ask(ERROR_QUERY, this.#times.answer));
      if (error === undefined) return this.#outOfStep(link);
      if (error.code === 0) break;
      errors.push(error);
    }
    return errors;
  }

  async #identify(link: ScpiLink): Promise<void> {
    link.send('*CLS');
    let line = await link.ask(WHO, this.#times.answer);
    for (let left = 0; !isIdentity(line); left += 1) {
      if (left === MOST_LEFT_OVER) this.#outOfStep(link);
      line = await link.ask(WHO, this.#times.answer);
    }
    this.#identity = line;
    const [maker = '', model = ''] = line.split(',').map((word) => word.trim());
    this.#name = shown(`${maker} ${model}`.trim()) || 'the meter';
    await this.#tryErrorQueue(link);
  }

  async #tryErrorQueue(link: ScpiLink): Promise<void> {
    if (this.#mute >= MOST_MUTE) return;
    try {
      await this.#errors(link);
      this.#mute = 0;
    } catch (error) {
      // No answer, or one that is none: `0` alone may be a reading that came late.
      this.#mute += 1;
      throw error;
    }
  }

  #complain({ code, text }: MeterError): void {
    this.#voice.say('complains', `${this.#name} reports error ${code}, ${quoted(text)}.`);
  }

  #outOfStep(link: ScpiLink): never {
    const error = new LinkLost('its answers do not fit what was asked');
    link.close(error.message);
    throw error;
  }

  #reaching(): string {
    return `Reaching for ${shown(`${this.#place.host}:${this.#place.port}`)} …`;
  }

  /** Waits to be woken, at most this long, ms. */
  #sleep(mostMs?: number): Promise<void> {
    return new Promise((resolve) => {
      const timer = mostMs === undefined ? undefined : setTimeout(() => this.#wake(), mostMs);
      this.#wake = () => {
        clearTimeout(timer);
        this.#wake = () => undefined;
        resolve();
      };
    });
  }
}

/**
 * Maker, model, serial number, firmware (IEEE 488.2, 10.14), or whatever else has letters and is no answer
 * to another query.
 */
function isIdentity(line: string): boolean {
  const isReading = readMeterText(line).kind !== 'noise' || readMeterError(line) !== undefined;
  return /[a-z]{2}/i.test(line) && !isReading;
}

const MOST_SHOWN = 60;

/** Meter text as it may be printed. */
function shown(text: string): string {
  const plain = harmless(text);
  return plain.length > MOST_SHOWN ? `${plain.slice(0, MOST_SHOWN)}…` : plain;
}

function quoted(text: string): string {
  return `"${shown(text)}"`;
}

function now(): number {
  return performance.now();
}
