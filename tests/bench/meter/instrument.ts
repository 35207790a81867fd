/** A bench meter on loopback that speaks SCPI badly in every way the protocol allows. Tests only. */
import { createServer, type Server, type Socket } from 'node:net';

/** What the probes are on: Ω between them, V of a junction at the test current, or nothing. */
export interface Points {
  readonly ohms: number;
  readonly volts?: number;
  /** Share by which readings differ from each other; default 0.1 %. */
  readonly jitter?: number;
}

/** How an instrument of one make goes about it; all of it legal, or at least sold. */
export interface Habits {
  readonly ending: '\n' | '\r\n';
  readonly overload: string;
  /** Part of the language it knows. */
  readonly knows: 'configure' | 'function' | 'measure';
  readonly hasErrorQueue: boolean;
  /** Time one answer takes, ms. */
  readonly answerMs: number;
  /** Answers arrive byte by byte. */
  readonly inPieces: boolean;
  /** How a figure is written. */
  readonly figure: (number: number, unit: 'OHM' | 'V') => string;
  readonly identity: string;
}

export type Mishap =
  /** The answer comes after the other side has lost patience, on whatever connection there is then. */
  | 'late'
  | 'never'
  | 'twice'
  /** The second copy comes a moment later, perhaps after the next query. */
  | 'twice later'
  | 'cut in mid-reply'
  | 'garbage first'
  | 'garbage instead'
  | 'endless line first'
  | 'error entry'
  /** The connection is refused for a while. */
  | 'outage';

const USUAL: Habits = {
  ending: '\n',
  overload: '+9.90000000E+37',
  knows: 'configure',
  hasErrorQueue: true,
  answerMs: 2,
  inPieces: false,
  figure: (number) => scientific(number),
  identity: 'Loopback Instruments,Bench One,0001,1.0',
};

/** `SD.DDDDDDDDESDD`, the usual form. */
export function scientific(number: number): string {
  const [digits = '', power = '0'] = Math.abs(number).toExponential(8).split('e');
  const sign = number < 0 ? '-' : '+';
  const size = String(Math.abs(Number(power))).padStart(2, '0');
  return `${sign}${digits}E${Number(power) < 0 ? '-' : '+'}${size}`;
}

type Function = 'RES' | 'FRES' | 'DIOD' | 'VOLT:DC';

/** Mishaps that send a line too many, or one too late. */
const STRAYS: ReadonlySet<Mishap> = new Set([
  'late',
  'twice',
  'twice later',
  'garbage first',
  'endless line first',
]);

const NONE = (): undefined => undefined;

export class Instrument {
  readonly habits: Habits;
  /** Asked before every answer. */
  mishap: (query: string) => Mishap | undefined = NONE;
  /** How long a late answer takes, and how long an outage lasts, ms. */
  lateMs = 400;
  outageMs = 60;
  /** Lines received, as they came. */
  readonly heard: string[] = [];
  /**
   * Queries that came while another was not yet answered. Counts for nothing once a line went out that
   * nobody had asked for: whoever takes it for an answer asks on.
   */
  overlaps = 0;
  hasStrayed = false;
  /** Readings answered so far. */
  readings = 0;
  connections = 0;
  #points: Points | undefined;
  #function: Function = 'RES';
  #errors: string[] = [];
  #server: Server | undefined;
  #socket: Socket | undefined;
  #port = 0;
  #isClosed = false;
  #noise = 1;
  /** Queries less the lines sent back, as whoever asked sees it. */
  readonly #owed = new WeakMap<Socket, number>();

  constructor(habits: Partial<Habits> = {}) {
    this.habits = { ...USUAL, ...habits };
  }

  get port(): number {
    return this.#port;
  }

  get function(): string {
    return this.#function;
  }

  /** Puts the probes on points; undefined lifts them. */
  probe(points: Points | undefined): void {
    this.#points = points;
  }

  async start(port = 0): Promise<number> {
    const server = createServer((socket) => this.#meet(socket));
    this.#server = server;
    await new Promise<void>((resolve, reject) => {
      server.once('error', reject);
      server.listen(port, '127.0.0.1', resolve);
    });
    const address = server.address();
    this.#port = typeof address === 'object' && address !== null ? address.port : 0;
    return this.#port;
  }

  async stop(): Promise<void> {
    this.#isClosed = true;
    await this.#stopListening();
  }

  /** Cuts every connection and refuses new ones for a while. */
  async outage(ms: number = this.outageMs): Promise<void> {
    await this.#stopListening();
    await pause(ms);
    if (!this.#isClosed) await this.start(this.#port);
  }

  /** Puts an entry into the error queue. */
  fail(entry: string): void {
    this.#errors.push(entry);
  }

  async #stopListening(): Promise<void> {
    const server = this.#server;
    this.#server = undefined;
    this.#socket?.destroy();
    await new Promise<void>((resolve) => {
      if (server === undefined) resolve();
      else server.close(() => resolve());
    });
  }

  #meet(socket: Socket): void {
    this.connections += 1;
    this.#socket?.destroy();
    this.#socket = socket;
    socket.setNoDelay(true);
    socket.on('error', () => undefined);
    let held = '';
    let isBusy = false;
    const waiting: string[] = [];
    const work = async (): Promise<void> => {
      if (isBusy) return;
      isBusy = true;
      for (let line = waiting.shift(); line !== undefined; line = waiting.shift()) {
        await this.#obey(socket, line);
      }
      isBusy = false;
    };
    socket.on('data', (piece) => {
      held += piece.toString('latin1');
      const lines = held.split('\n');
      held = lines.pop() ?? '';
      for (const line of lines) {
        const text = line.trim();
        this.heard.push(text);
        if (text.endsWith('?')) {
          const owed = this.#owed.get(socket) ?? 0;
          if (owed > 0) this.overlaps += 1;
          this.#owed.set(socket, owed + 1);
        }
        waiting.push(text);
      }
      void work();
    });
  }

  async #obey(socket: Socket, line: string): Promise<void> {
    if (!line.endsWith('?')) {
      this.#command(line);
      return;
    }
    await pause(this.habits.answerMs);
    const answer = this.#answer(line);
    if (answer === undefined) return;
    const mishap = this.mishap(line);
    await this.#deliver(socket, answer, mishap);
  }

  async #deliver(socket: Socket, answer: string, mishap: Mishap | undefined): Promise<void> {
    const line = `${answer}${this.habits.ending}`;
    this.hasStrayed ||= mishap !== undefined && STRAYS.has(mishap);
    switch (mishap) {
      case undefined:
        return await this.#write(socket, line);
      case 'late':
        setTimeout(() => this.#socket && this.#write(this.#socket, line), this.lateMs);
        return;
      case 'never':
        return;
      case 'twice':
        return await this.#write(socket, line + line);
      case 'twice later':
        setTimeout(() => this.#write(socket, line), 3);
        return await this.#write(socket, line);
      case 'cut in mid-reply':
        socket.write(line.slice(0, Math.max(1, line.length >> 1)));
        await pause(1);
        socket.destroy();
        return;
      case 'garbage first':
        return await this.#write(
          socket,
          `\u001b[2J\u0007\u0000\u00ff;;,${this.habits.ending}${line}`,
        );
      case 'garbage instead':
        return await this.#write(socket, `\u001b]0;owned\u0007#!${this.habits.ending}`);
      case 'endless line first':
        return await this.#write(socket, `${'1'.repeat(5000)}${this.habits.ending}${line}`);
      case 'error entry':
        this.fail('-230,"Data corrupt or stale"');
        return await this.#write(socket, line);
      case 'outage':
        void this.outage();
        return;
    }
  }

  async #write(socket: Socket, text: string): Promise<void> {
    const lines = text.split('\n').length - 1;
    this.#owed.set(socket, Math.max(0, (this.#owed.get(socket) ?? 0) - lines));
    if (!this.habits.inPieces) {
      if (!socket.destroyed) socket.write(text);
      return;
    }
    for (const byte of Buffer.from(text)) {
      await pause(0);
      if (!socket.destroyed) socket.write(Buffer.of(byte));
    }
  }

  #command(line: string): void {
    const set = this.habits.knows === 'measure' ? undefined : settingIn(line, this.habits.knows);
    if (set !== undefined) this.#function = set;
    else if (/^\*CLS$/i.test(line)) this.#errors = [];
    else if (!/NPLC|RANG/i.test(line)) this.fail('-113,"Undefined header"');
  }

  /** The answer to a query; undefined when it is not known. */
  #answer(query: string): string | undefined {
    if (/^\*IDN\?$/i.test(query)) return this.habits.identity;
    if (/^SYST(?:EM)?:ERR(?:OR)?\?$/i.test(query)) {
      return this.habits.hasErrorQueue ? (this.#errors.shift() ?? '+0,"No error"') : undefined;
    }
    if (/^READ\?$/i.test(query) && this.habits.knows !== 'measure') return this.#reading();
    const [, measured] = /^MEAS:(RES|FRES|DIOD|VOLT:DC)\?$/i.exec(query) ?? [];
    if (measured === undefined || this.habits.knows !== 'measure') {
      this.fail('-113,"Undefined header"');
      return undefined;
    }
    this.#function = measured.toUpperCase() as Function;
    return this.#reading();
  }

  #reading(): string {
    this.readings += 1;
    const points = this.#points;
    const isVolts = this.#function === 'DIOD' || this.#function === 'VOLT:DC';
    const number = isVolts ? points?.volts : points?.ohms;
    if (number === undefined || !Number.isFinite(number)) return this.habits.overload;
    // A fixed sequence of small deviations, so that a run can be repeated.
    this.#noise = (this.#noise * 16_807) % 2_147_483_647;
    const off = (2 * (this.#noise / 2_147_483_647) - 1) * (points?.jitter ?? 0.001);
    return this.habits.figure(number * (1 + off), isVolts ? 'V' : 'OHM');
  }
}

function settingIn(line: string, knows: 'configure' | 'function'): Function | undefined {
  const pattern =
    knows === 'configure' ? /^CONF:(RES|FRES|DIOD|VOLT:DC)$/i : /^FUNC "(RES|FRES|DIOD|VOLT:DC)"$/i;
  return pattern.exec(line)?.[1]?.toUpperCase() as Function | undefined;
}

export function pause(ms: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ms));
}
