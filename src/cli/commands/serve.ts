import { PassThrough } from 'node:stream';
import type { Context, Run } from '../context.ts';
import { EXIT } from '../exit.ts';
import { converse } from '../serve/conversation.ts';

/** Speaks JSON-RPC 2.0 on standard input and output until the input ends. */
export const run: Run = async (context) => {
  const { stdin } = context;
  await converse(withoutInput(context), stdin);
  // Its replies are all it has to say.
  return { exit: EXIT.ok, text: () => [] };
};

/** Standard input belongs to the conversation: a file named `-` is empty. */
function withoutInput(context: Context): Context {
  const empty = new PassThrough();
  empty.end();
  return { ...context, stdin: empty as unknown as Context['stdin'] };
}
