import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { joinReadings, readReadings } from '../../src/bench/readings-file.ts';
import { InputError } from '../../src/board/diagnostic.ts';
import { printReading } from '../../src/job/print-say.ts';
import { append, closeJob, createJob } from '../../src/job/record.ts';
import { tinyBoard } from '../job/tiny-board.ts';

const board = tinyBoard();

function lines(text: string, on = board): string[] {
  return readReadings(text, 'a.readings', on).readings.map((saved) =>
    saved.reading === undefined ? '' : printReading(on, saved.reading),
  );
}

function faults(text: string, on?: typeof board): string[] {
  try {
    readReadings(text, 'a.readings', on);
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return error.diagnostics.map(({ place, code }) => `${place?.line}:${place?.column} ${code}`);
  }
  return [];
}

function jobText(...says: string[]): string {
  const folder = mkdtempSync(join(tmpdir(), 'readings-'));
  const path = join(folder, 'job.yaml');
  const handle = createJob(path, board);
  for (const say of says) append(handle, say);
  closeJob(handle);
  const text = readFileSync(path, 'utf8');
  rmSync(folder, { recursive: true });
  return text;
}

describe('an injected current in a file', () => {
  const told = [
    'inject P48 GND 0.5 A',
    'Q1.D Q3.D -0.3 mV',
    'inject off',
    'D3.A D3.K 0.52 V',
    'undo 2',
    'Q1.D Q3.D 40 uV',
  ];

  it.each([
    ['lines', told.join('\n')],
    ['a list', told.map((line) => `- "${line}"`).join('\n')],
    ['a job', jobText(...told)],
  ])('as %s makes volts millivolts until it is off, with the board at hand or not', (_, text) => {
    expect(lines(text)).toEqual(['Q1.D Q3.D -0.3 mV', 'Q1.D Q3.D 0.04 mV']);
    const saved = readReadings(text, 'a').readings;
    expect(saved.map(({ mode }) => mode)).toEqual(['millivolts', 'millivolts']);
    expect(saved[0]?.value).toEqual({ kind: 'volts', volts: -0.0003 });
  });

  it('lets nothing below zero pass after it is off', () => {
    const after = 'inject P48 GND 0.5 A\ninject off\nQ1.D Q3.D -0.3 mV';
    expect(faults(after, board)).toEqual(['3:11 BAD_VALUE']);
    expect(faults(after)).toEqual(['3:11 BAD_VALUE']);
  });
});

describe('plain lines', () => {
  it('are readings, comments and blank lines', () => {
    const text =
      '\ufeff# before the swap\r\n\r\n  P48 GND beep   # rail\r\nlift W3\r\nP48 GND quiet\r\nnote see # 5\r\n';
    expect(lines(text)).toEqual(['P48 GND beep', 'P48 GND quiet']);
    const { form, readings, events } = readReadings(text, 'a.readings', board);
    expect(form).toBe('lines');
    expect(readings.map(({ line, epoch }) => [line, epoch])).toEqual([
      [3, 0],
      [5, 1],
    ]);
    expect(events.at(-1)?.say).toBe('note see # 5');
  });

  it('keep their points as words without a board', () => {
    const [first, second] = readReadings(
      'X1.7 /weird{net}# 0.4 ohm\noff Q9: D S beep',
      'a',
    ).readings;
    expect(first).toEqual({
      red: 'X1.7',
      black: '/weird{net}#',
      mode: 'ohms',
      value: { kind: 'ohms', ohms: 0.4 },
      file: 'a',
      line: 1,
      epoch: 0,
    });
    expect(second).toMatchObject({ off: 'Q9', red: 'D', black: 'S' });
  });

  it('take a net called by a mark for a net when there is one', () => {
    const nets = board.nets.map((net, index) => (index === 0 ? { ...net, name: '#HG' } : net));
    const odd = { ...board, nets, netNamed: new Map(nets.map((net) => [net.name, net])) };
    expect(lines('#HG GND beep\n# HG GND beep', odd)).toEqual(['#HG GND beep']);
  });

  it('tell all faults at once, with line and column', () => {
    const text = 'P84 GND beep\n\n  P48 GND 0.4\nP48 GND beep\noff Q3: D S beep\n';
    expect(faults(text, board)).toEqual(['1:1 UNKNOWN_POINT', '3:11 NO_UNIT', '5:5 NOT_NOW']);
    expect(faults(text)).toEqual(['3:11 NO_UNIT']);
  });

  it('warn when nothing was read', () => {
    expect(readReadings('# nothing\n', 'a').warnings.map(({ code }) => code)).toEqual([
      'NO_READINGS',
    ]);
  });
});

describe('a YAML list', () => {
  it('may be quoted or not, and hold a colon', () => {
    const text =
      '---\n- P48 GND beep # rail\n- "Q1.D Q1.S 0.4 ohm"\n- remove Q3\n- off Q3: D S OL\n';
    expect(readReadings(text, 'a', board).form).toBe('list');
    expect(lines(text)).toEqual(['P48 GND beep', 'Q1.D Q1.S 0.4 ohm', 'off Q3: D S OL']);
    expect(lines('["P48 GND beep", "P48 GND OL"]\n')).toEqual(['P48 GND beep', 'P48 GND OL']);
  });

  it('points into the item', () => {
    expect(faults('- P48 GND beep\n- "P84 GND beep"\n-   P84 GND beep\n', board)).toEqual([
      '2:4 UNKNOWN_POINT',
      '3:5 UNKNOWN_POINT',
    ]);
    expect(faults('- P48 GND beep\n- [1, 2]\n- {a: b}\n')).toEqual([
      '2:3 NOT_A_TEXT',
      '3:3 NOT_A_TEXT',
    ]);
    expect(faults('- "P48 GND beep\n')).toHaveLength(1);
  });
});

describe('a job record', () => {
  it('gives its standing readings', () => {
    const text = jobText('P48 GND beep', 'lift W3', 'P48 GND quiet', 'undo 2', 'Q1.D Q1.S 0.4 ohm');
    expect(readReadings(text, 'job.yaml', board).form).toBe('job');
    expect(lines(text)).toEqual(['P48 GND beep', 'Q1.D Q1.S 0.4 ohm']);
    const words = readReadings(text, 'job.yaml').readings;
    expect(words.map(({ red, line }) => [red, line])).toEqual([
      ['P48', 2],
      ['Q1.D', 6],
    ]);
  });

  it('that belongs to a changed board is warned of', () => {
    const { warnings } = readReadings(
      jobText('P48 GND beep'),
      'job.yaml',
      tinyBoard('9'.repeat(64)),
    );
    expect(warnings.map(({ code }) => code)).toEqual(['BOARD_CHANGED']);
  });

  it('that is damaged is an error', () => {
    expect(
      faults(jobText('P48 GND beep', 'P48 GND quiet').replace('beep', 'quiet'), board),
    ).toEqual(['2:1 CHANGED_EVENT']);
  });
});

describe('several files', () => {
  it('join as one job that knows where each reading came from', () => {
    const first = readReadings('P48 GND beep\nlift W3\n', 'one', board);
    const second = readReadings(jobText('P48 GND quiet', 'undo', 'P48 GND OL'), 'two', board);
    const { derived, sources } = joinReadings(board, [first, second]);
    expect(derived.evidence.readings.map(({ id }) => sources.get(id))).toEqual([
      { file: 'one', line: 1, say: 'P48 GND beep' },
      { file: 'two', line: 4, say: 'P48 GND OL' },
    ]);
    expect(derived.evidence.state.lifted.size).toBe(1);
  });

  it('end a current with the file that left it on, and not when it is the last', () => {
    const one = readReadings('inject P48 GND 0.5 A\nQ1.D Q3.D 2 mV', 'one', board);
    const two = readReadings('D3.A D3.K 520 mV', 'two', board);
    const modes = (files: (typeof one)[]) =>
      joinReadings(board, files).derived.evidence.readings.map(({ mode }) => mode);
    expect(modes([one, two])).toEqual(['millivolts', 'diode']);
    expect(joinReadings(board, [two, one]).derived.evidence.injection?.amps).toBe(0.5);
  });
});

describe('any text', () => {
  it('is read or refused in words', () => {
    const word = fc.constantFrom(
      '- ',
      '[',
      ']',
      '"',
      'P48',
      ' GND',
      ' beep',
      '\n',
      '#',
      ': ',
      '{n: 1',
      'undo',
      '\r',
      '&a ',
      '*a',
      '!!x ',
    );
    const text = fc.oneof(
      fc.string({ unit: 'binary' }),
      fc.array(word).map((all) => all.join('')),
    );
    fc.assert(
      fc.property(text, fc.boolean(), (any, withBoard) => {
        try {
          readReadings(any, 'a', withBoard ? board : undefined);
        } catch (error) {
          expect(error).toBeInstanceOf(InputError);
          expect((error as InputError).diagnostics.length).toBeGreaterThan(0);
        }
      }),
      { numRuns: 500 },
    );
  });
});
