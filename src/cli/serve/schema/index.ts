import { CODE } from '../rpc.ts';
import { PARAMS, RESULTS } from './methods.ts';
import { PIECES } from './pieces.ts';
import { either, list, object, ref, type Schema, text } from './words.ts';

const ID: Schema = { type: ['string', 'number', 'null'], description: 'given back with the reply' };
const VERSION: Schema = { const: '2.0' };

/**
 * The JSON Schema (draft 2020-12) of the messages of `trace-short serve`. Under `$defs`: the params
 * and the result of each method as `METHOD.params` and `METHOD.result`, `request`, `response`, and
 * the pieces these share. The whole holds for any message of either side.
 */
export function serveSchema(): object {
  const methods = Object.keys(PARAMS);
  return {
    $schema: 'https://json-schema.org/draft/2020-12/schema',
    title: 'Messages of trace-short serve',
    description: 'JSON-RPC 2.0, one message a line: a request, a response, or a batch of either.',
    anyOf: [
      ref('request'),
      ref('response'),
      list(ref('request'), 'a batch', 1),
      list(ref('response'), 'the replies to a batch', 1),
    ],
    $defs: {
      request: { anyOf: methods.map(requestOf) },
      response: either(
        'a result or an error',
        object({ jsonrpc: VERSION, id: ID, result: RESULT }),
        {
          ...object({ jsonrpc: VERSION, id: ID, error: ref('error') }),
        },
      ),
      error: errorSchema(),
      ...Object.fromEntries(methods.map((method) => [`${method}.params`, PARAMS[method]])),
      ...Object.fromEntries(methods.map((method) => [`${method}.result`, RESULTS[method]])),
      ...PIECES,
    },
  };
}

const RESULT: Schema = { type: 'object', description: 'see `METHOD.result`' };

/** Without an id it is a notification. */
function requestOf(method: string): Schema {
  return object({
    jsonrpc: VERSION,
    'id?': ID,
    method: { const: method },
    params: ref(`${method}.params`),
  });
}

function errorSchema(): Schema {
  return object({
    code: { enum: Object.values(CODE), description: 'which sort of error' },
    message: text('what is wrong, in one sentence'),
    'data?': object({
      diagnostics: list(ref('diagnostic'), 'all that is wrong, each with its place'),
      'recorded?': list(
        object({ n: { type: 'integer' }, say: text('a line') }),
        'what is in the record all the same',
      ),
    }),
  });
}
