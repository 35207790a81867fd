import { expect, it } from 'vitest';
import { atLength } from '../../src/cli/at-length.ts';
import type { Context } from '../../src/cli/context.ts';
import type { Sliced } from '../../src/faults/sliced.ts';
import { Screen } from './screen.ts';

/** A context whose stderr keeps what is written to it. */
function contextWith(terminal: { isTTY: boolean; columns: number }) {
  const written: string[] = [];
  const stderr = { ...terminal, write: (text: string) => written.push(text) };
  return { written, context: { env: {}, colour: false, stderr } as unknown as Context };
}

/** Slices of work that take so long each by a clock of their own, until it is told to stop. */
function slow(slices: number, millis: number, during?: (k: number) => void) {
  let now = 0;
  function* working(): Sliced<string> {
    for (let k = 0; k < slices; k++) {
      now += millis;
      during?.(k);
      const isStopped = yield { work: k, mostWork: slices, leftOut: 1 - k / slices };
      if (isStopped) return `stopped after ${k}`;
    }
    return 'done';
  }
  return [working(), () => now] as const;
}

it('says nothing of short work, nor where no terminal listens', async () => {
  const terminal = contextWith({ isTTY: true, columns: 80 });
  expect(await atLength(terminal.context, ...slow(5, 100))).toBe('done');
  expect(terminal.written).toEqual([]);
  const pipe = contextWith({ isTTY: false, columns: 80 });
  expect(await atLength(pipe.context, ...slow(50, 100))).toBe('done');
  expect(pipe.written).toEqual([]);
});

it('tells how far long work has come, on one line, and leaves none of it', async () => {
  const { written, context } = contextWith({ isTTY: true, columns: 50 });
  const screen = new Screen(50, 4);
  const seen = new Set<string>();
  const look = (): void => {
    for (const text of written.splice(0)) screen.write(text);
    if (screen.text().trim() !== '') seen.add(screen.text().trim());
  };
  expect(await atLength(context, ...slow(25, 100, look))).toBe('done');
  look();
  expect(seen.size).toBeGreaterThan(1);
  for (const text of seen) expect(text).toMatch(/^Working out the next step … \d+ % of the effort/);
  expect([...seen].every((text) => !text.includes('\n'))).toBe(true);
  expect(screen.text().trim()).toBe('');
});

it('ends with the best so far at the first Ctrl-C, and hears no more of it afterwards', async () => {
  const { context } = contextWith({ isTTY: false, columns: 80 });
  const before = process.listenerCount('SIGINT');
  const interrupt = (k: number): void => {
    if (k === 2) process.emit('SIGINT');
  };
  expect(await atLength(context, ...slow(9, 100, interrupt))).toBe('stopped after 2');
  expect(process.listenerCount('SIGINT')).toBe(before);
});
