import { readdirSync, readFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

const src = fileURLToPath(new URL('../../src', import.meta.url));
const files = readdirSync(src, { recursive: true, encoding: 'utf8' })
  .filter((name) => name.endsWith('.ts'))
  .map((name) => ({
    name: relative(src, join(src, name)),
    text: readFileSync(join(src, name), 'utf8'),
  }));

function thatMatch(pattern: RegExp): string[] {
  return files.filter(({ text }) => pattern.test(text)).map(({ name }) => name);
}

describe('the network', () => {
  it('is in reach of the link to a bench meter alone; a named pipe is a socket to Node too', () => {
    const modules =
      /from '(?:node:)?(?:net|tls|dgram|dns|http|https|http2)(?:\/[\w]+)?'|\bfetch\(|WebSocket/;
    expect(thatMatch(modules).sort()).toEqual([
      'bench/meter/scpi-link.ts',
      'cli/guided/meter-link.ts',
    ]);
    const pipes = files.find(({ name }) => name === 'cli/guided/meter-link.ts')?.text ?? '';
    expect(pipes).not.toMatch(/\bconnect\(|createConnection|\.listen\(/);
  });

  it('is loaded only when a link is opened', () => {
    expect(thatMatch(/from '[^']*\/scpi-meter\.ts'/)).toEqual(
      expect.arrayContaining(['bench/meter/open-scpi.ts', 'index.ts']),
    );
    for (const { name, text } of files) {
      const stays = text.match(
        /^(?:import|export) (?!type)[^;]*from '[^']*\/scpi-(?:meter|link)\.ts'/gm,
      );
      if (name !== 'bench/meter/scpi-meter.ts') expect(stays, name).toBeNull();
    }
  });
});
