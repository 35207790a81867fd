import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { entriesOf } from '../../src/bench/entries.ts';
import { InputError } from '../../src/board/diagnostic.ts';
import { renderDiagnostic } from '../../src/board/frame.ts';
import { COMMON_HANDHELD } from '../../src/circuit/meter.ts';
import { figuresOf } from '../../src/circuit/meter-figures.ts';
import { jobOpening, readEventLine, writeEventLine } from '../../src/job/event-line.ts';
import { readRecord } from '../../src/job/read-record.ts';

/** A record that reads, or a refusal that can be shown; nothing else, and in the time of a test. */
function readsOrRefuses(text: string): void {
  for (const read of [
    (): unknown => readRecord(new TextEncoder().encode(text), 'job.yaml'),
    (): unknown => entriesOf(text, 'readings.yaml'),
  ]) {
    try {
      read();
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      for (const each of error.diagnostics) renderDiagnostic(each);
    }
  }
}

const RECORD = ((): string => {
  const at = '2026-01-02T03:04:05.000Z';
  const open = {
    board: 'b',
    file: 'b.yaml',
    digest: 'd'.repeat(64),
    purpose: 'repair' as const,
    meter: figuresOf(COMMON_HANDHELD),
    version: 1,
  };
  const first = writeEventLine({ n: 1, at, open }, '');
  const second = writeEventLine({ n: 2, at, say: 'P48 GND beep' }, first.sum);
  const third = writeEventLine({ n: 3, at, say: 'note "#: {[*&! \u2028' }, second.sum);
  return first.text + second.text + third.text;
})();

const HEAPS: readonly (readonly [string, string])[] = [
  ['brackets', '['.repeat(20_000)],
  ['braces', '{'.repeat(20_000)],
  ['maps', '{a: '.repeat(6_000)],
  ['keys of keys', 'a: '.repeat(4_000)],
  ['dashes', '- '.repeat(10_000)],
  ['question marks', '? '.repeat(10_000)],
  ['colons', ': '.repeat(10_000)],
  ['commas', ','.repeat(20_000)],
  ['tags', '!a '.repeat(4_000)],
  ['tags that name code', '!!js/function "process.exit()", '.repeat(1000)],
  ['aliases', '*a '.repeat(6_000)],
  ['anchors', '&a '.repeat(6_000)],
  ['quotes', '"'.repeat(10_000)],
  ['escapes', `"${'\\'.repeat(20_000)}`],
  ['digits', '9'.repeat(100_000)],
  ['keys', Array.from({ length: 8000 }, (_, n) => `k${n}: 1`).join(', ')],
  ['keys that are one', 'a: 1, '.repeat(5_000)],
  ['merges', '<<: {a: 1}, '.repeat(2_000)],
];

describe('a record or a list of readings is not brought down', () => {
  test.each(HEAPS)(
    'by heaps of %s, nor held up for long',
    (_, heap) => {
      for (const line of [`{${heap}}`, `{n: 2, say: ${heap}}`, `[${heap}]`, heap]) {
        readsOrRefuses(`${RECORD}- ${line}\n- ${line}`);
      }
      readsOrRefuses(`- ${heap}`);
    },
    30_000,
  );

  test('by aliases that multiply', () => {
    const layers = ['a0: &a0 [x, x, x, x, x, x, x, x, x]'];
    for (let i = 1; i < 12; i++) layers.push(`a${i}: &a${i} [${`*a${i - 1}, `.repeat(9)}]`);
    readsOrRefuses(`- {${layers.join(', ')}}\n`);
    expect(readEventLine(`- {${layers.join(', ')}}`, jobOpening)).toBe('not an event');
  });

  test('by names that mean something to JavaScript', () => {
    for (const name of ['__proto__', 'constructor', 'prototype', 'toString', 'hasOwnProperty']) {
      const line = `- {n: 1, at: 2026-01-02T03:04:05Z, ${name}: {say: x, n: 9}, say: x, sum: "00000000"}`;
      expect(readEventLine(line, jobOpening)).toBe('newer form');
      readsOrRefuses(`${line}\n- {${name}: 1}\n- ${name}\n`);
    }
    expect(Object.keys(Object.prototype)).toEqual([]);
    expect({}).not.toHaveProperty('say');
  });

  test('by a record with pieces cut out, put in or flipped', () => {
    const edit = fc.record({
      at: fc.nat(RECORD.length),
      cut: fc.nat(30),
      put: fc.oneof(
        fc.constantFrom(
          '{',
          '}',
          '[',
          ']',
          ': ',
          ',',
          '\n',
          '\t',
          '*a',
          '&a ',
          '!!str ',
          '"',
          "'",
          '- ',
          '<<: ',
        ),
        fc.string({ unit: 'binary', maxLength: 3 }),
      ),
    });
    fc.assert(
      fc.property(fc.array(edit, { minLength: 1, maxLength: 5 }), (edits) => {
        readsOrRefuses(
          edits.reduce(
            (all, { at, cut, put }) => all.slice(0, at) + put + all.slice(at + cut),
            RECORD,
          ),
        );
      }),
      { numRuns: 150 },
    );
  });
});

test('a long text that was written is read back, whatever stands in it', () => {
  const piece = fc.constantFrom('{', '[', 'a: ', '- ', '"', '\\', '"]', '? ', 'x', 'Ω', '\n', ', ');
  const text = fc.array(piece, { minLength: 1, maxLength: 20 }).map((all) => all.join(''));
  fc.assert(
    fc.property(text, fc.integer({ min: 1, max: 3000 }), (part, times) => {
      const say = part.repeat(times);
      const { text: line, sum } = writeEventLine(
        { n: 2, at: '2026-01-02T03:04:05Z', say },
        'before',
      );
      const back = readEventLine(line, jobOpening);
      expect(back).toMatchObject({ body: { n: 2, say }, sum });
    }),
    { numRuns: 60 },
  );
});
