// A bench of its own process: hands in lessons given as JSON on standard input, in a database whose address is the one word.
import { readFileSync } from 'node:fs';
import { readAddress } from '../../../../dist/job/memory/database/address.js';
import { DatabaseStore } from '../../../../dist/job/memory/database/database-store.js';
import { Link } from '../../../../dist/job/memory/database/link.js';

const { env } = process;
const store = new DatabaseStore(new Link(readAddress(process.argv[2], env), { env }));
const became = [];
for (const lesson of JSON.parse(readFileSync(0, 'utf8'))) became.push(await store.handIn(lesson));
console.log(JSON.stringify(became));
