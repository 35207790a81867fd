import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { PARAMS } from '../../../src/cli/serve/schema/methods.ts';
import { answersTo, call, OPEN_LAMP, type Reply, talk } from './talk.ts';

const LIMITS = { lineBytes: 100_000, messages: 8 };

/** Params that are often nearly right. */
const params = fc.oneof(
  fc.jsonValue({ maxDepth: 3 }),
  fc.record(
    {
      job: fc.oneof({ weight: 4, arbitrary: fc.constant(1) }, fc.jsonValue({ maxDepth: 1 })),
      event: fc.oneof(
        fc.constant('note x'),
        fc.constant('P24 GND beep'),
        fc.jsonValue({ maxDepth: 3 }),
      ),
      points: fc.oneof(fc.constant(['P24', 'GND']), fc.jsonValue({ maxDepth: 2 })),
      part: fc.oneof(fc.constant('Q1'), fc.jsonValue({ maxDepth: 1 })),
      mode: fc.oneof(fc.constantFrom('ohms', 'diode', 'millivolts'), fc.jsonValue({ maxDepth: 1 })),
      count: fc.oneof(fc.nat(3), fc.jsonValue({ maxDepth: 1 })),
      boardText: fc.oneof(fc.constant('board: x\nparts: {}'), fc.string()),
      settings: fc.jsonValue({ maxDepth: 3 }),
      drill: fc.jsonValue({ maxDepth: 2 }),
    },
    { requiredKeys: ['job'] },
  ),
);

/** `file` is left out: what is made up must not land on a disk. */
function harmlessParams(value: unknown): value is object {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) return false;
  return !('file' in value) && !('board' in value);
}

const method = fc.oneof(
  fc.constantFrom(...Object.keys(PARAMS).filter((name) => name !== 'close')),
  fc.string(),
);

describe('whatever comes in', () => {
  it('gives each well-formed request exactly one reply, and goes on', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(fc.tuple(method, params), { maxLength: 12 }), async (said) => {
        const calls = said
          .filter(([, value]) => harmlessParams(value))
          .map(([name, value], k) => call(k, name, value as object));
        const replies: Reply[] = await talk(
          [call('open', 'open', OPEN_LAMP), ...calls, call('end', 'state', { job: 1 })],
          LIMITS,
        );
        const ids = replies.map(({ id }) => id);
        expect(ids.toSorted()).toEqual(['open', ...calls.map((_, k) => k), 'end'].toSorted());
        for (const reply of replies) {
          expect(reply.jsonrpc).toBe('2.0');
          expect('result' in reply).toBe(!('error' in reply));
          expect(reply.error?.code, reply.error?.message).not.toBe(-32603);
        }
        expect(replies.find(({ id }) => id === 'end').result.events).toBeGreaterThan(0);
      }),
      { numRuns: 60 },
    );
  });

  it('stands any bytes, in any pieces', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(fc.uint8Array({ maxLength: 300 })), async (noise) => {
        const asked = Buffer.from(`\n${JSON.stringify(call('last', 'state', { job: 1 }))}\n`);
        const replies = await answersTo([...noise, asked], LIMITS);
        expect(replies.filter(({ id }) => id === 'last')).toHaveLength(1);
      }),
      { numRuns: 200 },
    );
  });

  it('stands JSON of any shape as a message', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.jsonValue({ maxDepth: 4 }), { maxLength: 20 }),
        async (values) => {
          const replies = await talk(
            values.map((value) => JSON.stringify(value)),
            LIMITS,
          );
          expect(replies.length).toBeLessThanOrEqual(values.length);
        },
      ),
      { numRuns: 200 },
    );
  });

  it('stands nests too deep for any stack', async () => {
    const deep = 45_000;
    const nest = `${'['.repeat(deep)}${']'.repeat(deep)}`;
    const open = `{"jsonrpc":"2.0","id":1,"method":"open","params":{"boardText":"x","drill":${nest}}}`;
    const replies = await talk(
      [open, nest, '['.repeat(deep), call(2, 'state', { job: 1 })],
      LIMITS,
    );
    expect(replies.find(({ id }) => id === 2)).toBeDefined();
    expect(replies).toHaveLength(4);
  });
});
