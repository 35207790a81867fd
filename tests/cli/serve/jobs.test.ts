import { readFileSync, symlinkSync } from 'node:fs';
import { PassThrough } from 'node:stream';
import { describe, expect, it } from 'vitest';
import { converse } from '../../../src/cli/serve/conversation.ts';
import { call, lampFolder, OPEN_LAMP, replyTo, servedContext, talk } from './talk.ts';

describe('jobs that are served', () => {
  it('keep what was recorded in the file, and go on with it', async () => {
    const folder = lampFolder();
    const file = folder.path('job.yaml');
    try {
      const first = await talk([
        call(1, 'open', { board: folder.path('lamp.yaml'), file, purpose: 'refurbish' }),
        call(2, 'record', { job: 1, events: ['residual P24 GND 0 V', 'P24 GND beep'] }),
        call(3, 'undo', { job: 1 }),
        call(4, 'close', { job: 1 }),
      ]);
      expect(replyTo(first, 1).result).toMatchObject({ isNew: true, purpose: 'refurbish' });
      expect(replyTo(first, 3).result.undone).toEqual([{ n: 3, say: 'P24 GND beep' }]);
      expect(readFileSync(file, 'utf8')).toContain('say: "undo"');
      const second = await talk([
        call(1, 'open', { file }),
        call(2, 'open', { file, purpose: 'repair' }),
        call(3, 'open', { file: folder.path('other.yaml') }),
      ]);
      expect(replyTo(second, 1).result).toMatchObject({ isNew: false, purpose: 'refurbish' });
      expect(replyTo(second, 1).result.state.events).toBe(4);
      expect(replyTo(second, 3).error.message).toContain('no job file');
    } finally {
      folder.remove();
    }
  });

  it('have one writer for each file, by whatever name, and give it back when closed', async () => {
    const folder = lampFolder();
    const [board, file] = [folder.path('lamp.yaml'), folder.path('job.yaml')];
    try {
      const replies = await talk([
        call(1, 'open', { board, file }),
        call(3, 'open', { board, file }),
      ]);
      expect(replyTo(replies, 1).result.job).toBe(1);
      expect(replyTo(replies, 3).error).toMatchObject({ code: -32003 });
      symlinkSync(file, folder.path('same.yaml'));
      const again = await talk([
        call(1, 'open', { file }),
        call(2, 'open', { file: folder.path('same.yaml') }),
        call(3, 'close', { job: 1 }),
      ]);
      expect(replyTo(again, 2).error).toMatchObject({ code: -32003 });
    } finally {
      folder.remove();
    }
  });

  it('answer in order, each by itself, while others are worked on', async () => {
    const says = Array.from({ length: 12 }, (_, k) => `note ${k}`);
    const replies = await talk([
      call('a', 'open', OPEN_LAMP),
      call('b', 'open', OPEN_LAMP),
      ...says.flatMap((say, k) => [
        call(`a${k}`, 'record', { job: 1, event: say }),
        call(`b${k}`, 'record', { job: 2, event: say }),
      ]),
      call('gone', 'close', { job: 1 }),
      call('late', 'next', { job: 1 }),
      call('other', 'state', { job: 2 }),
    ]);
    for (const job of ['a', 'b']) {
      const own = replies.filter(({ id }) => new RegExp(`^${job}\\d`).test(id));
      expect(own.map(({ result }) => result.recorded[0].say)).toEqual(says);
    }
    expect(replyTo(replies, 'late').error.code).toBe(-32002);
    expect(replyTo(replies, 'other').result.events).toBe(13);
  });

  it('record all lines of a call or none of them', async () => {
    const replies = await talk([
      call(1, 'open', OPEN_LAMP),
      call(2, 'record', { job: 1, events: ['note kept?', 'lift W1', 'lift W1'] }),
      call(3, 'state', { job: 1 }),
    ]);
    expect(replyTo(replies, 2).error.data.diagnostics[0].code).toBe('NOT_NOW');
    expect(replyTo(replies, 3).result.events).toBe(1);
  });

  it('work by settings given whole, and by a meter named', async () => {
    const open = {
      ...OPEN_LAMP,
      settings: { shop: { 'bench-times': { 'open-heatsink': 9 } }, meter: 'bench meter' },
    };
    const replies = await talk([
      call(1, 'open', open),
      call(2, 'open', { ...OPEN_LAMP, settings: { shop: { 'bench-tims': {} } } }),
      call(3, 'open', { ...OPEN_LAMP, settings: { meter: 'bench metre' } }),
    ]);
    expect(replyTo(replies, 1).result.meter).toBe('bench meter');
    expect(replyTo(replies, 2).error.data.diagnostics[0]).toMatchObject({
      place: { file: 'settings.shop' },
    });
    expect(replyTo(replies, 3).error.message).toContain('bench metre');
  });

  it('go on by settings given whole, on a board with places typed in the job as well', async () => {
    const folder = lampFolder();
    const [board, file] = [folder.path('lamp.yaml'), folder.path('job.yaml')];
    const minutesOf = async (settings: object): Promise<number> => {
      const replies = await talk([
        call(1, 'open', { file, settings }),
        call(2, 'record', { job: 1, event: 'at C2 3 4' }),
        call(3, 'why', { job: 1, part: 'C2' }),
        call(4, 'undo', { job: 1 }),
      ]);
      return replyTo(replies, 3).result.part.instead.minutes;
    };
    try {
      const lines = ['at C1 1 2', 'residual P24 GND 0 V', 'P24 GND beep'];
      await talk([call(1, 'open', { board, file }), call(2, 'record', { job: 1, events: lines })]);
      const usual = await minutesOf({ shop: 'none' });
      const slow = await minutesOf({ shop: { 'bench-times': { 'lift-leg': 30 } } });
      expect(slow).toBeGreaterThan(usual);
    } finally {
      folder.remove();
    }
  });

  it('say no to a measurement where the board is a real one', async () => {
    const replies = await talk([call(1, 'open', OPEN_LAMP), call(2, 'measure', { job: 1 })]);
    expect(replyTo(replies, 2).error.code).toBe(-32001);
  });

  it('take in no more than they can answer when nobody reads the replies', async () => {
    const output = new PassThrough({ highWaterMark: 1 });
    let taken = 0;
    async function* input(): AsyncGenerator<Uint8Array> {
      for (; taken < 500; taken += 1) {
        yield Buffer.from(`${JSON.stringify(call(taken, 'next', { job: 1 }))}\n`);
      }
    }
    const limits = { lineBytes: 10_000, messages: 8 };
    const done = converse(servedContext(output), input(), limits);
    for (let turn = 0; turn < 50; turn += 1) await new Promise((go) => setImmediate(go));
    expect(taken).toBeLessThan(20);
    let replies = 0;
    output.on('data', (piece: Buffer) => {
      replies += piece.toString().split('\n').length - 1;
    });
    await done;
    expect(replies).toBe(500);
  });
});
