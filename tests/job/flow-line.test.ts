import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parse } from 'yaml';
import { writeEventLine } from '../../src/job/event-line.ts';
import { readFlowLine } from '../../src/job/flow-line.ts';

/** What the YAML reader makes of a line, as the record has always asked it. */
function byYaml(line: string): unknown {
  try {
    const value: unknown = parse(line, { schema: 'core', maxAliasCount: 0, logLevel: 'silent' });
    return Array.isArray(value) && value.length === 1 ? value[0] : undefined;
  } catch {
    return undefined;
  }
}

const at = fc
  .date({ min: new Date('2000-01-01'), max: new Date('2200-01-01'), noInvalidDate: true })
  .map((date) => date.toISOString());
const text = fc.oneof(fc.string(), fc.string({ unit: 'binary' }), fc.string({ unit: 'grapheme' }));
const figure = fc.oneof(fc.integer(), fc.double({ noNaN: true, noDefaultInfinity: true }));
const value = fc.letrec((tie) => ({
  any: fc.oneof({ maxDepth: 3 }, text, figure, fc.boolean(), tie('map'), tie('list')),
  list: fc.array(tie('any'), { maxLength: 4 }),
  map: fc.dictionary(fc.stringMatching(/^[A-Za-z][\w-]{0,8}$/), tie('any'), { maxKeys: 4 }),
}));
const body = fc.oneof(
  fc.record({ n: fc.nat(), at, say: text }),
  fc.record({ n: fc.constant(1), at, open: value.map as fc.Arbitrary<object> }),
);

function lineOf(event: object): string {
  return writeEventLine(event as Parameters<typeof writeEventLine>[0], 'x').text.trimEnd();
}

describe('the short way to read a line of the record', () => {
  it('reads what the YAML reader would, or leaves the line to it', () => {
    fc.assert(
      fc.property(body, (event) => {
        const line = lineOf(event);
        const short = readFlowLine(line);
        if (short !== undefined) expect(short).toEqual(byYaml(line));
      }),
      { numRuns: 1000 },
    );
  });

  it('reads every line that holds no more than plain words and figures', () => {
    fc.assert(
      fc.property(fc.nat(1e6), at, fc.string(), (n, time, say) => {
        expect(readFlowLine(lineOf({ n, at: time, say }))).toMatchObject({ n, at: time, say });
      }),
    );
    const open = { board: 'x', meter: { beep: { ohms: 30 }, ranges: [1, 2.5] }, version: 1 };
    expect(readFlowLine(lineOf({ n: 1, at: '2026-01-01T00:00:00.000Z', open }))?.open).toEqual(
      open,
    );
  });

  it('reads a damaged line as the YAML reader would, or leaves it to it', () => {
    fc.assert(
      fc.property(
        body,
        fc.nat(),
        fc.string({ maxLength: 2 }),
        fc.nat(3),
        (event, place, piece, gone) => {
          const whole = lineOf(event);
          const from = place % (whole.length + 1);
          const line = whole.slice(0, from) + piece + whole.slice(from + gone);
          const short = readFlowLine(line);
          if (short !== undefined) expect(short).toEqual(byYaml(line));
        },
      ),
      { numRuns: 2000 },
    );
  });
});
