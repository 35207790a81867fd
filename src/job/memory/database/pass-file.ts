/** The file of passwords that PostgreSQL's own programs read: `HOST:PORT:DATABASE:USER:PASSWORD` a line. */
import { readFileSync, statSync } from 'node:fs';
import { homedir } from 'node:os';
import { join } from 'node:path';
import type { Address } from './address.ts';

/** Rights of anyone but its owner: such a file is passed over, as PostgreSQL does. */
const OTHERS = 0o077;

/** The password for an address: first line that fits; undefined where there is none. */
export function passwordFor(
  address: Address,
  env: Readonly<Record<string, string | undefined>>,
): string | undefined {
  if (address.password !== undefined) return address.password;
  const { PGPASSFILE: named } = env;
  const path = named === undefined || named === '' ? join(homedir(), '.pgpass') : named;
  const stat = statSync(path, { throwIfNoEntry: false });
  if (stat?.isFile() !== true) return undefined;
  if (process.platform !== 'win32' && (stat.mode & OTHERS) !== 0) return undefined;
  return passwordIn(readFileSync(path, 'utf8'), address);
}

export function passwordIn(
  text: string,
  { host, port, database, user }: Pick<Address, 'host' | 'port' | 'database' | 'user'>,
): string | undefined {
  const wanted = [host, String(port), database, user];
  for (const line of text.split(/\r?\n/)) {
    if (line.startsWith('#')) continue;
    const fields = fieldsOf(line);
    if (fields.length !== wanted.length + 1) continue;
    if (wanted.every((each, at) => fields[at] === '*' || unmasked(fields[at]) === each)) {
      return unmasked(fields.at(-1));
    }
  }
  return undefined;
}

/** Cut at colons; `\:` and `\\` stand for the sign itself. */
function fieldsOf(line: string): string[] {
  return line.match(/(?:\\.|[^:\\])+|(?<=:)(?=:|$)/g) ?? [];
}

function unmasked(field = ''): string {
  return field.replace(/\\(.)/g, '$1');
}
