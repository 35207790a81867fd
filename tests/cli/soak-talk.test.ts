import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { InputError } from '../../src/board/diagnostic.ts';
import { loadBoard } from '../../src/board/load.ts';
import { Circuit } from '../../src/circuit/circuit.ts';
import { askedNow, soakLine } from '../../src/cli/soak/conversation.ts';
import { type SoakDesk, watchSoak } from '../../src/cli/soak/live.ts';
import type { LiveAnswer, LiveQuestion } from '../../src/cli/soak/live-prompt.ts';
import { admit, deriveJob } from '../../src/job/derive.ts';
import type { JobEvent } from '../../src/job/event-line.ts';
import { powerPlan } from '../../src/job/power-plan.ts';
import { printSay } from '../../src/job/print-say.ts';
import { type SoakView, viewSoak } from '../../src/report/soak.ts';
import { NO_COLOUR } from '../../src/report/style.ts';
import { LAMP } from './scratch.ts';

const { board } = loadBoard(LAMP, 'lamp.yaml');
const plan = powerPlan(new Circuit(board));
const START = Date.UTC(2026, 10, 24, 14, 0, 0);

/** A desk with a clock that is wound by hand, a record in memory, and answers made beforehand. */
class FakeDesk implements SoakDesk {
  readonly board = board;
  readonly events: JobEvent[] = [];
  readonly screens: string[] = [];
  rung = 0;
  minutes = 0;
  readonly #answers: ((desk: FakeDesk, question: LiveQuestion) => LiveAnswer)[];

  constructor(answers: ((desk: FakeDesk, question: LiveQuestion) => LiveAnswer)[]) {
    this.#answers = answers;
    this.#append('soak start 60 min');
  }

  #append(say: string): void {
    const n = this.events.length + 2;
    const at = new Date(START + this.minutes * 60_000).toISOString();
    this.events.push({ n, at, say, line: n });
  }

  view(): SoakView {
    const job = deriveJob(board, this.events);
    return viewSoak(board, plan, job, { nowMs: START + this.minutes * 60_000, every: 600 });
  }

  async record(line: string): Promise<string> {
    const say = printSay(board, admit(board, deriveJob(board, this.events), line));
    this.#append(say);
    return say;
  }

  async ask(question: LiveQuestion): Promise<LiveAnswer> {
    this.look(question);
    const answer = this.#answers.shift();
    if (answer === undefined) return { kind: 'key', key: 'x' };
    const given = answer(this, question);
    this.look(question);
    return given;
  }

  look(question: LiveQuestion): void {
    const { lines, message } = question.show();
    this.screens.push([...lines, message].join('\n'));
  }

  ring = (): void => {
    this.rung += 1;
  };
  clear = (): void => undefined;
  style = () => ({ width: 80, palette: NO_COLOUR });
  rows = (): number => 24;

  get said(): string[] {
    return this.events.slice(1).map(({ say }) => say);
  }

  get asked(): string[] {
    return this.screens.map((screen) => screen.split('\n').at(-1) ?? '');
  }
}

const type =
  (text: string, minutes = 0) =>
  (desk: FakeDesk): LiveAnswer => {
    desk.minutes += minutes;
    return { kind: 'line', text };
  };

async function talk(
  ...answers: ((desk: FakeDesk) => LiveAnswer)[]
): Promise<FakeDesk & { end: string }> {
  const desk = new FakeDesk(answers);
  return Object.assign(desk, { end: await watchSoak(desk) });
}

describe('the soak screen', () => {
  it('asks for one observation after the other, and takes a bare figure for it', async () => {
    const desk = await talk(type('61'), type('40,5 C'), type('24'), type('23.9 V'));
    expect(desk.said).toEqual([
      'temp Q1 61 C',
      'temp C1 40.5 C',
      'powered J1.1 J1.2 24 V',
      'powered J2.1 J1.2 23.9 V',
    ]);
    expect(desk.asked.at(-1)).toBe('>');
    expect(desk.end).toBe('left');
  });

  it('passes one over on Enter, and asks for it again an interval later', async () => {
    const desk = await talk(type(''), type('', 5), type('', 6));
    // Each answer is seen twice: before it, and once the clock went on while it was typed.
    expect(desk.asked.filter((_, k) => k % 2 === 0)).toEqual([
      'Q1, °C:',
      'C1, °C:',
      'supply, J1.1 to J1.2, V:',
      'Q1, °C:',
    ]);
    expect(desk.said).toEqual([]);
  });

  it('keeps its question while the answer is typed, however long that takes', async () => {
    const desk = await talk(type('61'), type('40', 30));
    expect(desk.said).toEqual(['temp Q1 61 C', 'temp C1 40 C']);
  });

  it('takes any other observation at any time', async () => {
    const desk = await talk(
      type('q2 71'),
      type('P24 GND 24.1 V'),
      type('draws supply 0.3 A'),
      type('finding fan rattles'),
      type('note changed the fan'),
    );
    expect(desk.said).toEqual([
      'temp Q2 71 C',
      'powered P24 GND 24.1 V',
      'draws supply 0.3 A',
      'soak finding fan rattles',
      'note changed the fan',
    ]);
  });

  it('refuses what belongs to a cold board, and gives the line back', async () => {
    const desk = await talk(type('lift W1'), type('P24 GND beep'), type('P24 GND 0.4 ohm'));
    expect(desk.said).toEqual([]);
    expect(desk.screens.at(-1)).toContain('the board is under power');
  });

  it('says at once when something is out of its range', async () => {
    const desk = await talk(type('79'), type('Q1 81'), type('P24 GND 24 V'));
    const warned = desk.screens.map((screen) => /out of its range/.test(screen));
    expect(warned.filter(Boolean).length).toBe(2); // the screen after 81 °C, before and after the next line
    expect(desk.view().watch[0]).toMatchObject({ part: 'Q1', isTooHot: true });
  });

  it('rings once when an observation falls due', async () => {
    const desk = await talk(type('note a', 3), type('', 12));
    expect(desk.rung).toBe(1);
  });

  it('is not passed before its time and its observations, unless that is said in full', async () => {
    const early = await talk(type('passed'), type('passed', 60));
    expect(early.said).toEqual([]);
    expect(early.screens.at(-1)).toContain('not passed yet');
    const said = await talk(type('soak passed customer waits'));
    expect(said.said).toEqual(['soak passed customer waits']);
    expect(said.view()).toMatchObject({ state: 'passed', isShort: true });
  });

  it('ends when it is passed or stopped', async () => {
    const passed = await talk(
      type('61', 11),
      type('24', 20),
      type('P24 GND 24 V', 1),
      type('Q1 64', 20),
      type('passed steady', 9),
    );
    expect(passed.said.at(-1)).toBe('soak passed steady');
    expect(passed.end).toBe('ended');
    const stopped = await talk(type('stop smoke at C1', 5), type('61'));
    expect(stopped.said).toEqual(['soak stopped smoke at C1']);
    expect(stopped.end).toBe('ended');
  });

  it('ends by itself when the record ends the soak behind its back', async () => {
    const desk = await talk((own) => {
      void own.record('soak stopped power cut');
      return { kind: 'over' };
    });
    expect(desk.end).toBe('ended');
  });

  it('keeps to its rows, the clock and the question last to go', async () => {
    const desk = new FakeDesk([]);
    desk.rows = () => 8;
    await watchSoak(desk);
    const lines = desk.screens[0]?.split('\n') ?? [];
    expect(lines.length).toBeLessThanOrEqual(8);
    expect(lines.join('\n')).toMatch(/60 min left|1 h left/);
    expect(lines.at(-1)).toBe('Q1, °C:');
  });
});

describe('a line at the soak screen', () => {
  it('is never a cold reading nor a change of the board, whatever was typed', () => {
    const view = new FakeDesk([]).view();
    const asked = askedNow(view, new Set());
    const word = fc.constantFrom(
      ...['P24', 'GND', 'Q1', 'W1', 'lift', 'remove', 'replace', 'link', 'beep', 'quiet', 'OL'],
      ...['0.4', '24', 'V', 'ohm', 'C', 'off', 'look', 'finding', 'stop', 'passed', 'temp'],
      ...['powered', 'draws', 'power', 'soak', 'note', ':', 'diode', ''],
    );
    const text = fc.oneof(
      fc.string(),
      fc.array(word, { maxLength: 6 }).map((words) => words.join(' ')),
    );
    fc.assert(
      fc.property(text, (typed) => {
        let line: string;
        try {
          line = soakLine(board, view, typed, asked);
        } catch (error) {
          expect(error).toBeInstanceOf(InputError);
          return;
        }
        const verb = line.split(' ')[0]?.toLowerCase();
        expect(['temp', 'powered', 'draws', 'function', 'soak', 'note', 'photo', 'undo']).toContain(
          verb,
        );
      }),
    );
  });

  it('leaves a figure without a question alone', () => {
    const view = new FakeDesk([]).view();
    expect(() => soakLine(board, view, '61')).toThrow(InputError);
  });

  it('is not asked for once the soak is over', async () => {
    const desk = await talk(type('stop smoke'));
    expect(askedNow(desk.view(), new Set())).toBeUndefined();
  });
});
