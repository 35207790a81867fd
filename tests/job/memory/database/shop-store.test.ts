import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, describe } from 'vitest';
import type { Link } from '../../../../src/job/memory/database/link.ts';
import { type ShopStore, shopStore } from '../../../../src/job/memory/database/shop-store.ts';
import { MEMORY_FOLDER } from '../../../../src/job/memory/folder-store.ts';
import { folderBench, removeFolders } from '../folder-bench.ts';
import { type StoreBench, storeContract } from '../store-contract.ts';
import { hasServer, Server } from './server.ts';

describe.skipIf(!hasServer)('with a real server', () => {
  let server: Server;
  const links: Link[] = [];
  beforeAll(async () => {
    server = await Server.started();
  });
  afterEach(async () => {
    for (const link of links.splice(0)) await link.close();
    removeFolders();
  });
  afterAll(() => server.remove());

  async function shopBench(): Promise<StoreBench> {
    const bench = folderBench();
    const database = await server.newDatabase();
    const ledger = join(bench.folder, MEMORY_FOLDER, 'handed-in.json');
    return {
      ...bench,
      open(): ShopStore {
        const link = server.link(database);
        links.push(link);
        return shopStore({ local: bench.open(), folder: bench.folder, link });
      },
      damage(how) {
        bench.damage(how);
        if (how === 'gone') return rmSync(ledger);
        const text = readFileSync(ledger, 'utf8');
        writeFileSync(
          ledger,
          how === 'half' ? text.slice(0, text.length / 2) : text.replace('job-1', 'job-9'),
        );
      },
    };
  }

  storeContract('a database', shopBench, { outlives: true, runs: 8 });
});
