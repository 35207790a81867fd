import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

const folder = fileURLToPath(new URL('../../dist/command/', import.meta.url));
const files = readdirSync(folder).filter((name) => name.endsWith('.js'));
const textOf = new Map(files.map((name) => [name, readFileSync(join(folder, name), 'utf8')]));

/** Modules of Node through which the world could be reached. */
const NETWORK =
  /(?:from|import|require)\s*\(?\s*["'](?:node:)?(?:net|http|https|http2|dns|dns\/promises|tls|dgram|inspector|undici|pg)["']/;
const GLOBALS = /(?<![\w.$])(?:fetch|WebSocket|EventSource|XMLHttpRequest)\s*\(/;

/** A file named in a line that runs as its own file is loaded, and one that is loaded when asked for. */
const AT_ONCE = /^(?:var|const|import).*(?:require\(|from )["']\.\/([^"']+)["']/gm;
const WHEN_ASKED = /(?:then\(\(\) => (?:\w+\()?require|import)\(\s*["']\.\/([^"']+)["']/g;

function named(pattern: RegExp, name: string): string[] {
  return [...(textOf.get(name) ?? '').matchAll(pattern)].map(([, other = '']) => other);
}

/** Files that are loaded with a file, before any of its code decides anything. */
function loadedWith(name: string, seen: Set<string> = new Set()): Set<string> {
  if (seen.has(name)) return seen;
  seen.add(name);
  for (const other of named(AT_ONCE, name)) loadedWith(other, seen);
  return seen;
}

/** Files that some other file may load later, and the command itself. */
function starts(): string[] {
  return ['main.js', ...new Set(files.flatMap((name) => named(WHEN_ASKED, name)))];
}

describe('the bundled command', () => {
  it('loads nothing that reaches the network but for a meter or a database that is asked for', () => {
    const reaching = starts().filter((start) =>
      [...loadedWith(start)].some((name) => NETWORK.test(textOf.get(name) ?? '')),
    );
    expect(starts().length).toBeGreaterThan(20);
    expect(loadedWith('main.js').size).toBeGreaterThan(1);
    expect(reaching.length).toBeGreaterThan(0);
    expect(
      reaching.filter((name) => !/^(?:scpi-meter|meter-link|shop-database)-\w+\.js$/.test(name)),
    ).toEqual([]);
  });

  it('opens the link to a meter nowhere but where one was named', () => {
    const openers = files.filter((name) =>
      named(WHEN_ASKED, name).some((other) => other.startsWith('scpi-meter-')),
    );
    expect(openers).toHaveLength(1);
    expect(openers.filter((name) => !/^meter-link-/.test(name))).toEqual([]);
  });

  it('uses no global that fetches', () => {
    expect(files.filter((name) => GLOBALS.test(textOf.get(name) ?? ''))).toEqual([]);
  });
});
