import { mkdirSync, mkdtempSync, realpathSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join, resolve } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { shopPlace, userFile } from '../../src/cli/shop-place.ts';

let root = '';
let folder = '';
const home = (): string => join(root, 'home');
const write = (path: string): string => {
  mkdirSync(dirname(path), { recursive: true });
  writeFileSync(path, 'hourly-rate: 1\n');
  return path;
};

beforeEach(() => {
  root = realpathSync(mkdtempSync(join(tmpdir(), 'shop-')));
  folder = join(root, 'shelf', 'winches');
  mkdirSync(folder, { recursive: true });
});
afterEach(() => rmSync(root, { recursive: true, force: true }));

describe('the settings file in force', () => {
  test('is found by flag, then environment, then folder, then user', () => {
    const user = write(join(root, 'config', 'trace-short', 'shop.yaml'));
    const above = write(join(root, 'shelf', 'trace-short.yaml'));
    const here = write(join(folder, 'trace-short.yaml'));
    const env = { TRACE_SHORT_SHOP: 'env.yaml', XDG_CONFIG_HOME: join(root, 'config') };
    const found = (options: { shop?: string; env: NodeJS.ProcessEnv }) => {
      const { by, file } = shopPlace(options, folder, home());
      return [by, file === undefined ? undefined : resolve(file)];
    };
    expect(found({ shop: 'flag.yaml', env })).toEqual(['flag', resolve('flag.yaml')]);
    expect(found({ env })).toEqual(['environment', resolve('env.yaml')]);
    const { XDG_CONFIG_HOME } = env;
    expect(found({ env: { XDG_CONFIG_HOME } })).toEqual(['folder', here]);
    rmSync(here);
    expect(found({ env: { XDG_CONFIG_HOME, TRACE_SHORT_SHOP: '' } })).toEqual(['folder', above]);
    rmSync(above);
    expect(found({ env: { XDG_CONFIG_HOME } })).toEqual(['user', user]);
    rmSync(user);
    expect(found({ env: { XDG_CONFIG_HOME } })).toEqual(['none', undefined]);
  });

  test('is none where the flag or the environment says none', () => {
    write(join(folder, 'trace-short.yaml'));
    expect(shopPlace({ shop: 'none', env: {} }, folder, home())).toEqual({ by: 'flag' });
    const env = { TRACE_SHORT_SHOP: 'none' };
    expect(shopPlace({ env }, folder, home())).toEqual({ by: 'environment' });
  });
});

describe('a database in place of a file', () => {
  const address = 'postgres://bench1@shop-server/shop';

  test('leaves the settings to what would hold without it', () => {
    const here = write(join(folder, 'trace-short.yaml'));
    const place = shopPlace({ shop: address, env: {} }, folder, home());
    expect({ ...place, file: resolve(place.file ?? '') }).toEqual({
      by: 'folder',
      file: here,
      database: address,
    });
    const env = { TRACE_SHORT_SHOP: address, XDG_CONFIG_HOME: join(root, 'config') };
    rmSync(here);
    expect(shopPlace({ env }, folder, home())).toEqual({ by: 'none', database: address });
    expect(shopPlace({ shop: 'none', env }, folder, home())).toEqual({ by: 'flag' });
  });

  test('of the flag goes before that of the environment, whose file holds', () => {
    const other = { TRACE_SHORT_SHOP: 'postgres://x@other/shop' };
    expect(shopPlace({ shop: address, env: other }, folder, home()).database).toBe(address);
    const file = { TRACE_SHORT_SHOP: 'env.yaml' };
    expect(shopPlace({ shop: address, env: file }, folder, home())).toEqual({
      by: 'environment',
      file: 'env.yaml',
      database: address,
    });
  });
});

test.each([
  ['linux', {}, '/h/.config/trace-short/shop.yaml'],
  ['linux', { XDG_CONFIG_HOME: '/c' }, '/c/trace-short/shop.yaml'],
  ['darwin', {}, '/h/Library/Application Support/trace-short/shop.yaml'],
  ['win32', { APPDATA: '/r' }, '/r/trace-short/shop.yaml'],
  ['win32', {}, '/h/AppData/Roaming/trace-short/shop.yaml'],
] as const)("on %s with %j the user's own is %s", (platform, env, path) => {
  expect(userFile(env, platform, '/h')).toBe(path);
});
