import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { whereJsonBreaks } from '../../../src/cli/serve/where-json-breaks.ts';
import { call, OPEN_LAMP, replyTo, talk } from './talk.ts';

const codeOf = (reply: { error?: { code: number } }): number | undefined => reply.error?.code;

describe('the messages of serve', () => {
  it('gives back the id of a call, whatever an id may be', async () => {
    const ids = ['a', 0, -1.5, '', null];
    const replies = await talk(ids.map((id) => call(id, 'state', { job: 7 })));
    expect(replies.map(({ id }) => id)).toEqual(ids);
  });

  it('answers no notification, right or wrong', async () => {
    const silent = [
      call(undefined, 'open', OPEN_LAMP),
      call(undefined, 'next', { job: 1 }),
      call(undefined, 'nothing of ours'),
      call(undefined, 'record', { job: 1, event: 'nonsense' }),
      { jsonrpc: '2.0', method: 'next', params: [1] },
      [call(undefined, 'next', { job: 1 }), call(undefined, 'state', { job: 1 })],
    ];
    expect(await talk(silent)).toEqual([]);
  });

  it('works on what a notification asks all the same', async () => {
    const replies = await talk([
      call(undefined, 'open', OPEN_LAMP),
      call(undefined, 'record', { job: 1, event: 'note seen' }),
      call(1, 'state', { job: 1 }),
    ]);
    expect(replies[0].result.events).toBe(2);
  });

  it('answers a batch with one list, in its order, and leaves notifications out of it', async () => {
    const [list] = await talk([
      [
        call('first', 'open', OPEN_LAMP),
        call(undefined, 'record', { job: 1, event: 'note seen' }),
        1,
        { foo: 'boo' },
        call('last', 'state', { job: 1 }),
      ],
    ]);
    expect(list.map(({ id }: { id: unknown }) => id)).toEqual(['first', null, null, 'last']);
    expect(list.slice(1, 3).map(codeOf)).toEqual([-32600, -32600]);
    expect(list[3].result.events).toBe(2);
  });

  it('tells every sort of bad message by its code', async () => {
    const cases: readonly [string | object, number, unknown][] = [
      ['{"jsonrpc": "2.0", "method": "foobar, "params": "bar", "baz]', -32700, null],
      ['[1,', -32700, null],
      ['[]', -32600, null],
      ['3', -32600, null],
      [{ jsonrpc: '2.0', method: 1, params: 'bar' }, -32600, null],
      [{ jsonrpc: '1.0', id: 5, method: 'next' }, -32600, 5],
      [{ jsonrpc: '2.0', id: {}, method: 'next' }, -32600, null],
      [{ jsonrpc: '2.0', id: 6, method: 'next', params: 'text' }, -32600, 6],
      [{ jsonrpc: '2.0', id: 6, method: 'next', params: [1] }, -32602, 6],
      [call(7, 'nxt', { job: 1 }), -32601, 7],
      [call(8, '__proto__', {}), -32601, 8],
      [call(9, 'next', {}), -32602, 9],
      [call(9, 'next', { job: 'one' }), -32602, 9],
      [call(9, 'next', { job: 1, more: 1 }), -32602, 9],
      [call(10, 'next', { job: 4 }), -32002, 10],
      [call(11, 'open', { board: 'not-there.yaml' }), -32001, 11],
      [Array.from({ length: 1001 }, () => 1), -32600, null],
    ];
    for (const [message, code, id] of cases) {
      const [reply, ...more] = await talk([message]);
      expect([codeOf(reply), reply.id], JSON.stringify(message)).toEqual([code, id]);
      expect(more).toEqual([]);
    }
  });

  it('names the place of what is no JSON, and of what is wrong in a line or a board', async () => {
    const replies = await talk([
      '',
      '  {"jsonrpc":"2.0" "id":1}',
      call(1, 'open', { boardText: 'board: x\nparts:\n  R1: {kind: resisto, pins: [A, B]}\n' }),
      call(2, 'open', OPEN_LAMP),
      call(3, 'record', { job: 2, events: ['note first', 'P24 GMD beep'] }),
      call(4, 'open', { bord: 'x' }),
    ]);
    const places = replies.flatMap(({ error }) => error?.data.diagnostics[0] ?? []);
    expect(replyTo(replies, null).error.data.diagnostics[0].place).toMatchObject({
      line: 2,
      column: 18,
    });
    expect(replyTo(replies, 1).error.data.diagnostics[0].place).toMatchObject({
      file: 'boardText',
      line: 3,
      column: 14,
    });
    const word = replyTo(replies, 3).error.data.diagnostics[0];
    expect(word.place).toMatchObject({ line: 2, column: 5, endColumn: 8 });
    expect(word.shown).toContain('P24 GMD beep\n     |     ^^^');
    expect(word.hint).toBe('did you mean "GND"?');
    expect(replyTo(replies, 4).error.data.diagnostics[0].hint).toBe('did you mean "board"?');
    expect(places).toHaveLength(4);
  });

  it('passes over a line that is too long, and reads on behind it', async () => {
    const limits = { lineBytes: 200, messages: 4 };
    const replies = await talk(
      [`"${'x'.repeat(500)}"`, call(1, 'next', { job: 1 }), `"${'y'.repeat(199)}`],
      limits,
    );
    expect(replies.map(codeOf).sort()).toEqual([-32002, -32005, -32700].sort());
  });

  it('finds where JSON breaks: never behind the slip, and nowhere in what is whole', () => {
    fc.assert(
      fc.property(fc.json(), fc.nat(), (text, at) => {
        expect(whereJsonBreaks(text)).toBe(text.length);
        const k = at % (text.length + 1);
        const broken = `${text.slice(0, k)}\u0001${text.slice(k)}`;
        expect(whereJsonBreaks(broken)).toBeLessThanOrEqual(k);
        const cut = whereJsonBreaks(text.slice(0, k));
        expect(cut).toBeLessThanOrEqual(k);
      }),
    );
    expect(whereJsonBreaks('{"a":1,}')).toBe(7);
    expect(whereJsonBreaks('{"a" 1}')).toBe(5);
    expect(whereJsonBreaks('[1 2]')).toBe(3);
    expect(whereJsonBreaks('{a:1}')).toBe(1);
    expect(whereJsonBreaks('[01]')).toBe(1);
    expect(whereJsonBreaks('{"a":[1}')).toBe(7);
    expect(whereJsonBreaks('1 2')).toBe(2);
  });
});
