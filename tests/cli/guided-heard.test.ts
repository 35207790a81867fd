import { describe, expect, it } from 'vitest';
import type { FeedEvent, MeterFeed, Sample } from '../../src/bench/meter/feed.ts';
import { loadBoard } from '../../src/board/load.ts';
import type { Context } from '../../src/cli/context.ts';
import { workbenchFor } from '../../src/cli/engine.ts';
import type { KeyAnswer, Live } from '../../src/cli/guided/key-prompt.ts';
import { MeterAtHand } from '../../src/cli/guided/meter-at-hand.ts';
import { soundOf } from '../../src/cli/guided/sound-of.ts';
import { freshTurn, type Turn, turnAfter } from '../../src/cli/guided/turn.ts';
import { memoryWork } from '../../src/cli/memory-work.ts';
import type { Work } from '../../src/cli/work.ts';
import { NO_COLOUR } from '../../src/report/style.ts';
import { LAMP } from './scratch.ts';

const QUIET = { stderr: { isTTY: false, write: () => true }, env: {}, json: false, colour: false };
const CONTEXT = QUIET as unknown as Context;
const STYLE = { width: 80, palette: NO_COLOUR };

const BEFORE_READINGS = [
  'customer said nothing',
  'arrived with nothing to note',
  'skip look-over seen before',
  'residual P24 GND 0 V',
];

function job(): Work {
  const work = memoryWork(loadBoard(LAMP, 'lamp.yaml').board, 'job.yaml', 'repair');
  work.record(BEFORE_READINGS);
  return work;
}

async function turnedBy(work: Work, turn: Turn, ...lines: string[]): Promise<Turn> {
  return await turnAfter(CONTEXT, work, turn, STYLE, () => lines);
}

describe('what is heard of an answer', () => {
  it('is one bell for a reading that leads to the next', async () => {
    const work = job();
    const first = await freshTurn(CONTEXT, work);
    expect(soundOf(first, await turnedBy(work, first, 'P24 GND quiet'))).toBe('recorded');
  });

  it('calls for a look at the screen where hands are needed, or where a line was refused', async () => {
    const work = job();
    const first = await freshTurn(CONTEXT, work);
    const lifted = await turnedBy(work, first, 'inject P24 GND 0.5 A');
    expect(soundOf(first, lifted)).toBe('attention');
    expect(soundOf(lifted, await turnedBy(work, lifted, 'lift W1'))).toBe('attention');
    expect(work.derived.active.at(-1)?.say).not.toBe('lift W1');
  });

  it('tells of readings that contradict each other, once', async () => {
    const work = job();
    let turn = await freshTurn(CONTEXT, work);
    const sounds: unknown[] = [];
    for (const line of [
      'P24 GND beep',
      'P24 P24_LAMP beep',
      'P24_LAMP GND quiet',
      'P24 GND quiet',
      'P24 GND beep',
      'P24 GND quiet',
    ]) {
      const next = await turnedBy(work, turn, line);
      sounds.push(next.study.diagnosis.contradictory ? soundOf(turn, next) : 'sense');
      turn = next;
    }
    expect(sounds).toContain('contradiction');
    expect(sounds.filter((sound) => sound === 'contradiction')).toHaveLength(1);
  });

  it('is nothing where nothing happened', async () => {
    const work = job();
    const turn = await freshTurn(CONTEXT, work);
    expect(soundOf(turn, turn)).toBeUndefined();
  });
});

/** A feed by hand: what it is told to say is heard at times of the test's own. */
class Feed implements MeterFeed {
  status = { state: 'ready', text: 'there' } as const;
  wanted: string | undefined;
  at = 0;
  readonly #listeners = new Set<(event: FeedEvent) => void>();

  want(mode: string | undefined): void {
    this.wanted = mode;
  }

  listen(listener: (event: FeedEvent) => void): () => void {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  }

  say(sample: Sample, ms: number): void {
    const end = this.at + ms;
    for (; this.at < end; this.at += 50) {
      this.#tell({ kind: 'sample', at: this.at, mode: 'continuity', sample });
      this.#tell({ kind: 'vouch', at: this.at });
    }
  }

  close(): void {
    this.#listeners.clear();
  }

  #tell(event: FeedEvent): void {
    for (const listener of [...this.#listeners]) listener(event);
  }
}

const OPEN: Sample = { kind: 'over' };
const SHORT: Sample = { kind: 'figure', number: 0.3 };

/** The prompt as the meter sees it. */
function ask(live: Live | undefined): { answers: KeyAnswer[]; shown: string[]; stop: () => void } {
  const answers: KeyAnswer[] = [];
  const shown: string[] = [];
  const stop = live?.({
    show: (text) => shown.push(text),
    isTyping: () => false,
    settle: (answer) => answers.push(answer),
  });
  return { answers, shown, stop: stop ?? (() => undefined) };
}

describe('a meter at hand', () => {
  it('hears a value that was refused anew, and only after the probes left the points', async () => {
    const work = job();
    const feed = new Feed();
    const meter = new MeterAtHand(feed, () => undefined);
    const turn = await freshTurn(CONTEXT, work);
    const first = ask(meter.liveAt(work, turn));
    feed.say(OPEN, 400);
    feed.say(SHORT, 4000);
    expect(first.answers).toEqual([
      { kind: 'heard', lines: ['P24 GND beep'], told: 'The meter showed 300 mΩ.' },
    ]);
    first.stop();
    // The disk was full, say: the same turn is shown again.
    const again = ask(meter.liveAt(work, turn));
    feed.say(SHORT, 4000);
    expect(again.answers).toEqual([]);
    feed.say(OPEN, 400);
    feed.say(SHORT, 4000);
    expect(again.answers).toHaveLength(1);
  });

  it('goes on with what it heard when a page was shown in between', async () => {
    const work = job();
    const feed = new Feed();
    const meter = new MeterAtHand(feed, () => undefined);
    const turn = await freshTurn(CONTEXT, work);
    const first = ask(meter.liveAt(work, turn));
    feed.say(OPEN, 400);
    first.stop();
    expect(feed.wanted).toBeUndefined();
    const again = ask(meter.liveAt(work, turn));
    feed.say(SHORT, 4000);
    expect(again.answers).toHaveLength(1);
  });

  it('waits as long as the step says while capacitors charge', async () => {
    const work = job();
    const feed = new Feed();
    const turn = await freshTurn(CONTEXT, work);
    const { seconds = 0 } = turn.study.advice().view.step.hold ?? {};
    expect(seconds).toBeGreaterThan(0);
    const { answers, shown } = ask(new MeterAtHand(feed, () => undefined).liveAt(work, turn));
    feed.say(OPEN, 400);
    feed.say(SHORT, 1000 * seconds - 100);
    expect(answers).toEqual([]);
    expect(shown.join(' ')).toMatch(/Hold \d+ s more: capacitors charge/);
    feed.say(SHORT, 300);
    expect(answers).toHaveLength(1);
  });

  it('takes what stands at a word, and refuses what does not', async () => {
    const work = job();
    const feed = new Feed();
    const meter = new MeterAtHand(feed, () => undefined);
    const turn = await freshTurn(CONTEXT, work);
    ask(meter.liveAt(work, turn));
    expect(() => meter.lineNow(work, turn)).toThrow(/shows nothing that stands/);
    feed.say(OPEN, 400);
    expect(meter.lineNow(work, turn)).toEqual(['P24 GND quiet']);
    feed.say(SHORT, 200);
    expect(meter.lineNow(work, turn)).toEqual(['P24 GND beep']);
    feed.say({ kind: 'figure', number: workbenchFor(work.board).bench.meter.beepOhms + 1 }, 50);
    expect(() => meter.lineNow(work, turn)).toThrow(/shows nothing that stands/);
  });

  it('answers nothing where hands are needed', async () => {
    const work = job();
    const turn = await freshTurn(CONTEXT, work);
    const lifted = await turnedBy(work, turn, 'inject P24 GND 0.5 A');
    expect(new MeterAtHand(new Feed(), () => undefined).liveAt(work, lifted)).toBeUndefined();
  });
});
