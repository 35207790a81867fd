import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { readFileSync } from 'node:fs';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { BIN } from '../terminal.ts';
import { call, lampFolder, type Reply } from './talk.ts';

const root = fileURLToPath(new URL('../../..', import.meta.url));
const env = { ...process.env, TRACE_SHORT_SHOP: 'none' };

/** The real command, asked one thing at a time. */
function served(): {
  readonly child: ChildProcess;
  ask(method: string, params: object): Promise<Reply>;
} {
  const child = spawn(process.execPath, [BIN, 'serve'], {
    env,
    stdio: ['pipe', 'pipe', 'inherit'],
  });
  const lines = createInterface({ input: child.stdout as NodeJS.ReadableStream })[
    Symbol.asyncIterator
  ]();
  let id = 0;
  const ask = async (method: string, params: object): Promise<Reply> => {
    id += 1;
    child.stdin?.write(`${JSON.stringify(call(id, method, params))}\n`);
    const { value } = await lines.next();
    return JSON.parse(String(value));
  };
  return { child, ask };
}

describe('the process that serves', () => {
  it('has on the disk what it has answered for, however it ends', async () => {
    const folder = lampFolder();
    const [board, file] = [folder.path('lamp.yaml'), folder.path('job.yaml')];
    try {
      for (let round = 1; round <= 3; round += 1) {
        const { child, ask } = served();
        const opened = await ask('open', { board, file });
        expect(opened.error?.message).toBeUndefined();
        expect(opened.result.state.events).toBe(round);
        const { result } = await ask('record', { job: 1, event: `note round ${round}` });
        child.kill('SIGKILL');
        expect(readFileSync(file, 'utf8')).toContain(`say: "${result.recorded[0].say}"`);
        await once(child, 'exit');
      }
    } finally {
      folder.remove();
    }
  });

  it('ends with 0 when its input does, having answered all and given back its files', async () => {
    const folder = lampFolder();
    const file = folder.path('job.yaml');
    try {
      const input = [
        call(1, 'open', { board: folder.path('lamp.yaml'), file }),
        call(2, 'next', { job: 1 }),
      ].map((one) => `${JSON.stringify(one)}\n`);
      const options = { input: input.join(''), encoding: 'utf8', env } as const;
      const run = spawnSync(process.execPath, [BIN, 'serve'], options);
      expect([run.status, run.stderr]).toEqual([0, '']);
      expect(run.stdout.trimEnd().split('\n')).toHaveLength(2);
      const again = spawnSync(process.execPath, [BIN, 'log', file, 'note after'], {
        encoding: 'utf8',
        env,
      });
      expect(again.status).toBe(0);
    } finally {
      folder.remove();
    }
  });

  it.each([
    ['plain shell', 'sh', ['examples/serve-drill.sh']],
    ['Node', process.execPath, ['examples/serve-drill.mjs']],
  ])('is driven through a whole drill from %s', (_name, command, words) => {
    const run = spawnSync(command, words, { cwd: root, encoding: 'utf8', env });
    expect(run.stderr).toBe('');
    expect(run.status).toBe(0);
    expect(run.stdout).toMatch(/replace .*D4/);
    expect(run.stdout).toMatch(/hidden: .*D4 short.*; missed: (none|\[\])\n$/);
  });
});
