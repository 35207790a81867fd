import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { describe, expect, it } from 'vitest';
import { serveSchema } from '../../../src/cli/serve/schema/index.ts';
import { PARAMS, RESULTS } from '../../../src/cli/serve/schema/methods.ts';
import { closed, type Schema } from '../../../src/cli/serve/schema/words.ts';
import { call, OPEN_LAMP, type Reply, talk } from './talk.ts';

const hoist = fileURLToPath(new URL('../../../boards/hoist-drive.yaml', import.meta.url));

/** Closed, so that a key nobody described is found. */
const ajv = new Ajv2020({ allErrors: true, allowUnionTypes: true, strictRequired: false });
const published = { ...closed(serveSchema() as Schema), $id: 'serve' };
ajv.addSchema(published);

function fits(key: string, value: unknown): void {
  const validate = ajv.getSchema(`serve#/$defs/${key}`);
  expect(validate, key).toBeTypeOf('function');
  const isFit = validate?.(value);
  expect(validate?.errors ?? [], `${key}: ${JSON.stringify(value).slice(0, 300)}`).toEqual([]);
  expect(isFit).toBe(true);
}

/** Says what may be said, and holds each message of both sides against the schema. */
async function traffic(
  calls: readonly { id?: unknown; method: string; params: unknown }[],
): Promise<Reply[]> {
  for (const one of calls) fits('request', one);
  const replies = await talk(calls);
  for (const reply of replies) {
    const { method = '' } = calls.find(({ id }) => id === reply.id) ?? {};
    if ('error' in reply) fits('error', reply.error);
    else fits(`${method}.result`, reply.result);
  }
  return replies;
}

type Said = { id: unknown; method: string; params: object };
const said = (id: unknown, method: string, params: object): Said =>
  call(id, method, params) as Said;

describe('the schema of the messages', () => {
  it('describes every method, what it takes and what it answers', () => {
    expect(Object.keys(RESULTS)).toEqual(Object.keys(PARAMS));
    const { $defs } = serveSchema() as { $defs: object };
    for (const method of Object.keys(PARAMS)) {
      expect($defs).toHaveProperty([`${method}.params`]);
      expect($defs).toHaveProperty([`${method}.result`]);
    }
  });

  it('holds for a whole job: intake, look, readings, lifts, a contradiction, repair, power', async () => {
    const lines = [
      { do: 'customer', text: 'no light' },
      'arrived well packed',
      { do: 'look', at: ['Q1'], finding: 'burnt' },
      'residual P24 GND 0 V',
      { do: 'residual', points: ['P24_LAMP', 'GND'], volts: 0 },
      { do: 'read', points: ['P24', 'GND'], mode: 'continuity', value: 'beep' },
      { do: 'lift', pins: ['W1'] },
      { do: 'read', points: ['P24', 'GND'], mode: 'continuity', value: 'quiet' },
      { do: 'read', points: ['P24_LAMP', 'GND'], mode: 'ohms', value: 0.4 },
      { do: 'remove', parts: ['C2'] },
      { do: 'read', off: 'C2', points: ['1', '2'], mode: 'ohms', value: 0.3 },
      { do: 'inject', points: ['P24_LAMP', 'GND'], amps: 2 },
      'inject off',
      'P24 GND quiet',
      'P24 GND beep',
    ];
    const looks = ['next', 'state'];
    const calls = [
      said('open', 'open', OPEN_LAMP),
      ...lines.flatMap((event, k) => [
        said(`r${k}`, 'record', { job: 1, event }),
        ...looks.map((method) => said(`${method}${k}`, method, { job: 1 })),
        said(`part${k}`, 'why', { job: 1, part: 'C2' }),
        said(`pair${k}`, 'why', { job: 1, points: ['P24', 'GND'] }),
      ]),
      ...['continuity', 'ohms', 'diode', 'four-wire', 'millivolts'].map((mode) =>
        said(mode, 'predict', { job: 1, points: ['P24', 'GND'], mode }),
      ),
      said('undo', 'undo', { job: 1, count: 2 }),
      said('not', 'record', { job: 1, events: ['note a', 'power 1 passed'] }),
      said('no', 'why', { job: 1, part: 'C99' }),
      said('close', 'close', { job: 1 }),
    ];
    const replies = await traffic(calls);
    expect(replies).toHaveLength(calls.length);
    const refused = replies.filter((reply) => 'error' in reply).map(({ id }) => id);
    expect(refused).toEqual(['four-wire', 'millivolts', 'not', 'no']);
  });

  it('holds for a drill up to its end', async () => {
    const steps = Array.from({ length: 3 }, (_, k) => k);
    const replies = await traffic([
      said('open', 'open', {
        board: hoist,
        settings: { shop: 'none' },
        drill: { seed: 3, faults: [{ part: 'Q3', mode: 'D-S short' }] },
      }),
      ...steps.flatMap((k) => [
        said(`next${k}`, 'next', { job: 1 }),
        said(`do${k}`, 'measure', { job: 1 }),
        said(`read${k}`, 'measure', { job: 1, points: ['P48', 'PH_U'], mode: 'ohms' }),
      ]),
      said('close', 'close', { job: 1 }),
    ]);
    const last = replies.find(({ id }) => id === 'close');
    expect(last.result.drill.hidden).toEqual(['Q3 D-S short']);
  });

  it('is the one that is published', () => {
    const file = new URL('../../../dist/serve/serve.schema.json', import.meta.url);
    expect(JSON.parse(readFileSync(file, 'utf8'))).toEqual(serveSchema());
  });
});
